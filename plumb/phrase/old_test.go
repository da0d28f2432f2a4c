package phrase

import (
	"fmt"
	"os"
	"testing"
)

func TestOld(t *testing.T) {
	r := reader(t)
	n, bad := 0, 0
	f, _ := os.Create("/tmp/old.txt")
	run := func(text, want string) {
		n++
		x := r.Read(text)
		got := summary(&x.Part)
		if x.Beside != "" {
			got = "BESIDE " + string(x.Beside)
		}
		if got != want || len(x.Questions) > 0 {
			bad++
			fmt.Fprintf(f, "%s\n  want %s\n  got  %s\n", text, want, got)
			for _, q := range x.Questions {
				fmt.Fprintf(f, "  ? %s %v\n", q.Msg, q.Choices)
			}
			for _, o := range x.Others {
				fmt.Fprintf(f, "  | %s\n", summary(&o.Part))
			}
		}
	}
	for _, c := range good {
		run(c.text, c.part)
	}
	for _, c := range people {
		run(c.text, c.part)
	}
	fmt.Println("old", n, "different", bad)
}
