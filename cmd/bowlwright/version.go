package main

import (
	"runtime/debug"
	"strings"
)

// stamped is the version that a build was told with -ldflags -X, where there is
// no repository to tell: in the container.
var stamped string

// version is the module's version and the revision it was built from, as the
// Go toolchain recorded them.
func version() string {
	if stamped != "" {
		return stamped
	}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "(unknown)"
	}
	v, revision := info.Main.Version, ""
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" && len(s.Value) >= 12 && !strings.Contains(v, s.Value[:12]) {
			revision = " " + s.Value[:12]
		}
	}
	if v == "" {
		v = "(devel)"
	}
	return v + revision
}
