// Command tapwright checks a planned run of water and drain fittings.
package main

import (
	"os"

	"tapwright/cmd/internal/cli"
)

func main() { os.Exit(cli.Main(os.Args[1:], cli.OS())) }
