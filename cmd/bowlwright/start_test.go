//go:build unix

package main

import (
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// BenchmarkChatFirstLine starts the program on a data directory of its own,
// answers one line and ends; it reports the time and the most memory that
// took.
func BenchmarkChatFirstLine(b *testing.B) {
	binary := filepath.Join(b.TempDir(), "bowlwright")
	if out, err := exec.Command("go", "build", "-o", binary, ".").CombinedOutput(); err != nil {
		b.Fatalf("go build: %v\n%s", err, out)
	}
	data := b.TempDir()
	var most int64
	var spent time.Duration
	b.ResetTimer()
	for range b.N {
		cmd := exec.Command(binary, "chat", "--data", data)
		cmd.Stdin = strings.NewReader("how much for a 12 kg dog?\n")
		began := time.Now()
		out, err := cmd.Output()
		spent += time.Since(began)
		if err != nil || len(out) == 0 {
			b.Fatalf("%v\n%s", err, out)
		}
		if u, ok := cmd.ProcessState.SysUsage().(*syscall.Rusage); ok {
			most = max(most, int64(u.Maxrss)) // kilobytes on Linux
		}
	}
	b.ReportMetric(float64(spent.Milliseconds())/float64(b.N), "ms/start")
	b.ReportMetric(float64(most)/1024, "MB-most")
}
