package backflow_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A tank of rain water or a well in a line of drinking water is never passed: IPC 2018
// 608.1 and IRC P2902.1 (from memory) forbid to join another supply to the drinking
// water without a device against it.
func TestTanksInALineOfDrinkingWater(t *testing.T) {
	const valve, joined = "3/4 FIP x 3/4 FIP ball valve, brass, lead-free", "second-source-joined?"
	for _, c := range []struct{ name, text, want string }{
		{"a rain tank at the end", chain("", valve, "rain tank"), joined},
		{"in the middle", chain("", valve, "3/4 FIP rain tank", nipple, spout), joined},
		{"a well", chain("", valve, nipple, "3/4 FIP well"), joined},
		{"behind an assembly", chain("", valve, nipple, "3/4 FIP x 3/4 FIP reduced pressure assembly, bronze", nipple, "3/4 FIP rain tank"), ""},
		{"of rain water itself", strings.Replace(chain("", valve, "rain tank"), "from: street", "from: tank", 1), ""},
		{"no tank", chain("", valve, nipple, spout), ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := ""
			for _, id := range strings.Fields(found(t, c.text)) {
				if strings.HasPrefix(id, "second-source-joined") {
					got = id
				}
			}
			assert.Equal(t, c.want, got)
		})
	}
}
