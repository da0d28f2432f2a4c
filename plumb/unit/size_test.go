package unit_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/unit"
)

func TestSizes(t *testing.T) {
	for want, ways := range map[unit.Size]string{
		"1/2":   `1/2|½|0.5|.5|1/2 in|1/2"|1/2-inch|½ in.|1⁄2|2/4|DN15|dn 15| 1/2 |1/2″|1/2''`,
		"3/4":   `3/4|¾|.75|0.75 in|DN20|DN 20|3/4”`,
		"1":     `1|1 in|1"|1.0|DN25|2/2`,
		"1-1/2": `1-1/2|1 1/2|1½|1 ½|1.5|1-½"|1–1/2|1 1⁄2|3/2|DN40`,
		"2":     `2|2 in|DN50`,
		"3/8":   `3/8|⅜|0.375`,
		"15/16": `15/16|0.9375`,
		"5/8":   `5/8|⅝|.625`,
		"6":     `6|6 in|DN150`,
		"22 mm": `22 mm|22mm|22 MM|22.0 mm`,
		"1/64":  `1/64`,
	} {
		for _, way := range strings.Split(ways, "|") {
			got, err := unit.ParseSize(way)
			if assert.NoError(t, err, way) {
				assert.Equal(t, want, got, way)
			}
		}
		again, err := unit.ParseSize(string(want))
		require.NoError(t, err)
		assert.Equal(t, want, again)
	}
}

// Correspondence of DN (ISO 6708) and NPS in ASME B36.10M.
func TestNominalSizesOfISO6708(t *testing.T) {
	for dn, want := range map[string]unit.Size{
		"DN6": "1/8", "DN8": "1/4", "DN10": "3/8", "DN15": "1/2", "DN20": "3/4", "DN25": "1", "DN32": "1-1/4",
		"DN40": "1-1/2", "DN50": "2", "DN65": "2-1/2", "DN80": "3", "DN100": "4", "DN125": "5", "DN150": "6",
	} {
		got, err := unit.ParseSize(dn)
		require.NoError(t, err, dn)
		assert.Equal(t, want, got, dn)
	}
}

func TestSizesRefused(t *testing.T) {
	for _, c := range []struct {
		text, mark, nearest string
		choices             []string
	}{
		{text: "22", mark: "22", choices: []string{"22 mm"}},
		{text: "15", mark: "15", choices: []string{"15 mm", "DN15"}},
		{text: "28", mark: "28", choices: []string{"28 mm"}},
		{text: "8", mark: "8", choices: []string{"8 mm", "DN8"}},
		{text: "DN22", mark: "DN22", choices: []string{"DN20", "22 mm"}},
		{text: "DN1000", mark: "DN1000", nearest: "DN150"},
		{text: "DN", mark: "DN"},
		{text: "DN 1/2", mark: "DN 1/2"},
		{text: "11⁄2", mark: "11⁄2", choices: []string{"1-1/2", "11/2"}},
		{text: "11/4", mark: "11/4", choices: []string{"1-1/4", "2-3/4"}},
		{text: "1/3", mark: "1/3", nearest: "3/8"},
		{text: "⅔", mark: "⅔", nearest: "5/8"},
		{text: "0.84", mark: "0.84"},
		{text: "0,5", mark: "0,5", nearest: "0.5"},
		{text: "7 in", mark: "7 in"},
		{text: "0", mark: "0"},
		{text: "-1/2", mark: "-1/2"},
		{text: "1/2 MIP", mark: "MIP"},
		{text: "1/2 x 3/4", mark: "x 3/4"},
		{text: "3/4 ft", mark: "ft"},
		{text: "1/2-", mark: "-"},
		{text: "1/2 mm", mark: "1/2 mm"},
		{text: "1 mm", mark: "1 mm"},
		{text: "22.22 mm", mark: "22.22 mm"},
		{text: "", mark: ""},
		{text: "close", mark: "close"},
	} {
		_, err := unit.ParseSize(c.text)
		var e *unit.Error
		require.ErrorAs(t, err, &e, c.text)
		assert.Equal(t, c.mark, c.text[e.Off:e.Off+e.Len], c.text)
		assert.Equal(t, c.nearest, e.Nearest, c.text)
		assert.Equal(t, c.choices, e.Choices, c.text)
	}
}

func TestSizesCompared(t *testing.T) {
	for _, c := range []struct {
		a, b unit.Size
		want int
		ok   bool
	}{
		{"1/2", "3/4", -1, true}, {"1-1/2", "1-1/4", 1, true}, {"2", "2", 0, true},
		{"15 mm", "22 mm", -1, true}, {"22 mm", "15 mm", 1, true}, {"22 mm", "22 mm", 0, true},
		{"22 mm", "3/4", 0, false}, {"3/4", "22 mm", 0, false}, {"", "3/4", 0, false}, {"3/4", "", 0, false},
		{"", "", 0, false}, {"large", "3/4", 0, false}, {"xx mm", "22 mm", 0, false},
	} {
		got, ok := c.a.Cmp(c.b)
		assert.Equal(t, c.ok, ok, "%s %s", c.a, c.b)
		assert.Equal(t, c.want, got, "%s %s", c.a, c.b)
	}
	in, ok := unit.Size("1-1/4").Inches()
	assert.True(t, ok)
	assert.Equal(t, 1.25, in)
	_, ok = unit.Size("22 mm").Inches()
	assert.False(t, ok)
	mm, ok := unit.Size("22 mm").MM()
	assert.True(t, ok)
	assert.Equal(t, 22.0, mm)
	_, ok = unit.Size("1/2").MM()
	assert.False(t, ok)
}

// Every size that is read is written in the one way that reads as itself.
func FuzzSize(f *testing.F) {
	for _, s := range []string{"1/2", "1-1/2", "1½", "DN20", "22 mm", "22", "11⁄2", "0.5", "1/2 in", "dn", "1/2''", "0"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		size, err := unit.ParseSize(s)
		if err != nil {
			checkError(t, s, err)
			return
		}
		again, err := unit.ParseSize(string(size))
		require.NoError(t, err)
		require.Equal(t, size, again)
		_, inch := size.Inches()
		_, mm := size.MM()
		require.NotEqual(t, inch, mm, "a size is of one system")
		cmp, ok := size.Cmp(size)
		require.True(t, ok)
		require.Zero(t, cmp)
	})
}

var sizesWritten = []string{"1/2", "3/4", "1-1/2", "22 mm", "DN20", "2 in", "1½", "15/16"}

func BenchmarkParseSize(b *testing.B) {
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if _, err := unit.ParseSize(sizesWritten[i%len(sizesWritten)]); err != nil {
			b.Fatal(err)
		}
	}
}
