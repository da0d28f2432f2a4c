package phrase

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// hostile are texts made to hurt: long, deep, cut characters, only marks.
var hostile = []string{
	"", " ", "\x00", "\xff\xfe", "\xf0\x9f", "½½½½", "1\u20442", "//////", "((((((", "))))", "=====", "x x x x x",
	"1/2/3/4/5/6", "1-1-1-1-1/2", "1-1/2-1-1/2", "--------", "\u2028 \u2603", "2 x", "x", "unknown unknown unknown",
	strings.Repeat("x", 999), strings.Repeat("9", 999), strings.Repeat("1/", 499), strings.Repeat("C x ", 249),
	strings.Repeat("1/2 x ", 166), strings.Repeat("(", 999), strings.Repeat("vlave ", 166), strings.Repeat("hose ", 200),
	strings.Repeat("with ", 200), strings.Repeat("½", 499), strings.Repeat("CxCxCxCxCxCxCxCxCxCxCxC ", 41),
	strings.Repeat("threaded ", 108) + "copper tee", strings.Repeat("in wall ", 124), "adapter " + strings.Repeat("taper ", 160), strings.Repeat("double ", 138) + "valve",
	strings.Repeat("0", 65536), strings.Repeat("x", 65536), strings.Repeat("1/2 FIP x ", 6554), strings.Repeat("\xc3", 65536),
}

func TestHostile(t *testing.T) {
	r := reader(t)
	for _, s := range hostile {
		x := checkReading(t, r, s)
		assert.True(t, len(x.Questions) > 0 || x.Part.Kind != nil || x.Beside != "", "%.40q says nothing", s)
		assert.LessOrEqual(t, len(x.Questions), 600, "%.40q", s)
	}
}
