package yamldoc_test

import (
	"io/fs"
	"sync"
	"sync/atomic"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/yamldoc"
)

func TestFilesGiveEveryFaultOfAll(t *testing.T) {
	d := yamldoc.NewFiles(fstest.MapFS{
		"data/a.yaml": {Data: []byte("title: x\ntags: [one, two]\nopen: yes\n")},
		"data/b.yaml": {Data: []byte("titel: x\nopen: perhaps\n")},
	}, "data")
	f := d.Map(d.Open("a.yaml"), "the file", "title", "tags", "open", "more")
	assert.Equal(t, "x", d.Text(f, "title"))
	assert.Equal(t, "", d.Text(f, "more"))
	assert.Equal(t, []string{"one", "two"}, d.Texts(f.Get("tags"), "tags"))
	assert.True(t, d.Yes(f, "open"))
	assert.False(t, d.Yes(f, "more"))
	require.NoError(t, d.Err("data"))

	root := d.Open("b.yaml")
	f = d.Map(root, "the file", "title", "open")
	assert.Equal(t, "", d.NeedText(f, "the file", "title"))
	d.Yes(f, "open")
	d.Failf(root, "there is no %q", "source")
	assert.Nil(t, d.Open("c.yaml"))
	d.Failf(nil, "nothing in it")
	d.Fault("elsewhere: a fault")
	err := d.Err("data")
	for _, want := range []string{
		"data: b.yaml:1:1: ", "did you mean title?", "the file", "b.yaml:2:7: ", `b.yaml:1:1: there is no "source"`,
		"c.yaml: ", "nothing in it", "elsewhere: a fault",
	} {
		assert.ErrorContains(t, err, want)
	}
}

// counted counts how often a file is opened.
type counted struct {
	fs.FS
	opened *atomic.Int32
}

func (c counted) Open(name string) (fs.File, error) {
	c.opened.Add(1)
	return c.FS.Open(name)
}

// A folder parses a file once and only when it is asked for, and what one reader
// complains about is not said to another.
func TestAFolderIsParsedOnce(t *testing.T) {
	var opened atomic.Int32
	folder := yamldoc.NewFolder(counted{fstest.MapFS{
		"data/a.yaml": {Data: []byte("title: x\ntitle: y\n")},
		"data/b.yaml": {Data: []byte("title: x\n")},
	}, &opened}, "data")
	assert.Zero(t, opened.Load())
	var group sync.WaitGroup
	for range 20 {
		group.Go(func() {
			d := folder.Files()
			f := d.Map(d.Open("a.yaml"), "the file", "title")
			assert.Equal(t, "x", d.Text(f, "title"))
			assert.Len(t, d.Problems, 1)
			d.Failf(f.Node, "nothing of it is true")
			assert.Len(t, d.Problems, 2)
			assert.Nil(t, d.Open("c.yaml"))
			assert.ErrorContains(t, d.Err("data"), "c.yaml: ")
		})
	}
	group.Wait()
	assert.EqualValues(t, 2, opened.Load(), "a.yaml and c.yaml, each once")
}
