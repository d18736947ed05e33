// Robustness solves a great many random problems and reports what came of it.
//
//	go run ./chem/equilibrium/internal/robustness -n 1000000 -seed 1
//
// It exits with 1 if any problem fails.
package main

import (
	"flag"
	"fmt"
	"os"

	"example.com/chelation/chem/equilibrium/internal/random"
)

func main() {
	n := flag.Int("n", 1_000_000, "number of problems")
	seed := flag.Uint64("seed", 1, "seed of the random numbers")
	show := flag.Int("show", 5, "failures to print")
	flag.Parse()
	t := random.Run(*n, *seed, *show, os.Stdout)
	fmt.Println(t)
	if t.Failures > 0 {
		os.Exit(1)
	}
}
