package phrase

import (
	"bufio"
	"fmt"
	"os"
	"strings"
	"testing"
)

func TestScratch(t *testing.T) {
	f, err := os.Open(os.Getenv("PHRASES"))
	if err != nil {
		return
	}
	r := reader(t)
	sc := bufio.NewScanner(f)
	brief := map[string]bool{"lead-free not stated": true, "length not stated": true, "material not stated": true, "with or without a vacuum breaker is not stated": true, "inside dimensions not stated": true}
	for sc.Scan() {
		s := sc.Text()
		if strings.TrimSpace(s) == "" {
			continue
		}
		x := r.Read(s)
		fmt.Printf("%s\n    %s\n", s, summary(&x.Part))
		for _, p := range x.Problems {
			fmt.Printf("  P %s | %s %v\n", p.Msg, p.Want, append(p.Choices, p.Nearest))
		}
		for _, p := range x.Notes {
			if !brief[p.Msg] && !strings.HasPrefix(p.Msg, "size not stated") {
				fmt.Printf("  n %s\n", p.Msg)
			}
		}
	}
}
