package say

import (
	"testing"
)

func TestParseCatalogueRefuses(t *testing.T) {
	for _, bad := range []string{"no colon here", "two words: x", "a: 1\na: 2"} {
		if _, err := parseCatalogue(bad); err == nil {
			t.Errorf("parseCatalogue(%q) took it", bad)
		}
	}
}
