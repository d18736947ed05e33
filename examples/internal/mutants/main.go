// Mutants puts slips into the rooms of the library, a comparison turned, a number
// a tenth too large, a call forgotten, and sees which tests notice:
//
//	go run ./examples/internal/mutants -sample 20
//	go run ./examples/internal/mutants -sample 0 -far solution/bath
//	go run ./examples/internal/mutants -named
//
// All slips of a room are woven into one build of its tests, each behind a number
// that is read from the environment; a slip in a constant asks for a build of its own.
// The short tests of the room are asked, for an internal room those of the room around
// it too, and with -far, for what they leave, the short tests of all other rooms that
// import it. What does not compile is no slip. Those known to change
// nothing that can be asked stand, with the reason, in equivalent.csv beside this file,
// and those that once escaped in named.csv. The source is not touched: the go command
// overlays the changed files. The same source and seed draw the same slips.
package main

import (
	"context"
	"flag"
	"fmt"
	"log"
	"math/rand/v2"
	"os"
	"os/signal"
	"text/tabwriter"
)

func main() {
	log.SetFlags(0)
	sample := flag.Int("sample", 20, "slips in each room; 0 is all")
	seed := flag.Uint64("seed", 1, "of the draw")
	far := flag.Bool("far", false, "ask all rooms that import it for what a room's own tests leave")
	named := flag.Bool("named", false, "try the slips of named.csv, in the place of a draw")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, flag.Args(), *far, *named, *sample, *seed); err != nil {
		log.Fatal(err)
	}
}

func run(ctx context.Context, rooms []string, far, named bool, sample int, seed uint64) error {
	lab, err := newLaboratory(ctx)
	if err != nil {
		return err
	}
	defer os.RemoveAll(lab.scratch)
	lab.far = far
	if len(rooms) == 0 {
		if rooms, err = lab.rooms(); err != nil {
			return err
		}
	}
	w := tabwriter.NewWriter(os.Stdout, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "room\tby its tests\tby other rooms\tby none\tequivalent\tby its tests\tin all\t")
	for _, room := range rooms {
		found, err := mutants(lab.root, room, named)
		if err != nil {
			return err
		}
		size := sample
		if sample == 0 || named {
			size = len(found)
		}
		draw := rand.New(rand.NewPCG(seed, uint64(len(found))))
		draw.Shuffle(len(found), func(i, k int) { found[i], found[k] = found[k], found[i] })
		by, err := lab.try(room, found, size)
		if err != nil {
			return err
		}
		share := func(n int) float64 { return 100 * float64(n) / float64(max(by[byRoom]+by[byLibrary]+by[byNone], 1)) }
		fmt.Fprintf(w, "%s\t%d\t%d\t%d\t%d\t%.0f %%\t%.0f %%\t\n", room, by[byRoom], by[byLibrary], by[byNone], by[equivalent], share(by[byRoom]), share(by[byRoom]+by[byLibrary]))
	}
	return w.Flush()
}
