package src_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/src"
)

func TestPositionsCountCharacters(t *testing.T) {
	f := src.NewFile("a.yaml", []byte("½ in\r\ntap: é x\n"))
	assert.Equal(t, 3, f.Lines())
	assert.Equal(t, "½ in", f.Line(1))
	assert.Equal(t, "tap: é x", f.Line(2))
	assert.Equal(t, "", f.Line(3))
	assert.Equal(t, "", f.Line(9))
	at := strings.Index(string(f.Text), "x")
	assert.Equal(t, src.Pos{Line: 2, Col: 8, Byte: at}, f.Pos(at))
	assert.Equal(t, f.Pos(at), f.At(2, 8))
}

func TestPlacesOutsideAreClamped(t *testing.T) {
	f := src.NewFile("a", []byte("ab\ncd"))
	assert.Equal(t, 0, f.Pos(-5).Byte)
	assert.Equal(t, 5, f.Pos(99).Byte)
	assert.Equal(t, 2, f.At(1, 99).Byte)
	assert.Equal(t, 5, f.At(99, 99).Byte)
	assert.False(t, src.Pos{}.Known())
	assert.True(t, f.Span(0, 1).Known())
}

func TestNearest(t *testing.T) {
	known := []string{"setting", "sources", "runs", "drains"}
	for in, want := range map[string]string{
		"seting": "setting", "Sources": "sources", "drians": "drains", "run": "runs", "zebra": "", "": "", "x": "",
	} {
		got, ok := src.Nearest(in, known)
		assert.Equal(t, want, got, in)
		assert.Equal(t, want != "", ok, in)
	}
}

func FuzzPlacesAgree(f *testing.F) {
	f.Add([]byte("a½\r\nb\n\nc"))
	f.Add([]byte("\xff\n\xc3"))
	f.Fuzz(func(t *testing.T, text []byte) {
		file := src.NewFile("x", text)
		for off := 0; off <= len(text); off++ {
			p := file.Pos(off)
			require.Equal(t, off, p.Byte)
			onBoundary := off == len(text) || utf8.RuneStart(text[off])
			if utf8.Valid(text) && onBoundary && (off == len(text) || text[off] != '\n') {
				require.Equal(t, off, file.At(p.Line, p.Col).Byte, "offset %d", off)
			}
		}
	})
}

func TestList(t *testing.T) {
	for want, words := range map[string][]string{"": nil, "a": {"a"}, "a and b": {"a", "b"}, "a, b and c": {"a", "b", "c"}} {
		assert.Equal(t, want, src.List(words, "and"))
	}
	assert.Equal(t, "a, b or c", src.List([]string{"a", "b", "c"}, "or"))
}

func TestQuote(t *testing.T) {
	assert.Equal(t, `"½ in"`, src.Quote("½ in", 4))
	assert.Equal(t, `"½ in…"`, src.Quote("½ inch", 4))
	assert.Equal(t, `"a b?"`, src.Quote("a\nb\xff", 9))
}
