// Mutants puts one slip at a time into the rooms of the library, a comparison
// turned, a number a tenth too large, a call forgotten, and sees which tests
// notice:
//
//	go run ./examples/internal/mutants -sample 20
//	go run ./examples/internal/mutants -sample 0 ./solution/bath
//	go run ./examples/internal/mutants -near solution/care
//
// A slip is noticed by the tests of its room, only by those of other rooms, only
// by the programs, whose tests compare with kept output, or by none. What does
// not compile is no slip. Those known to change nothing that can be seen stand,
// with the reason, in equivalent.csv beside this file. The source is not touched:
// the go command overlays the changed file. It takes hours for all of a room, and
// the same slips are drawn again from the same seed. With -near only the short
// tests of its own room are asked, which is the harder question and much faster.
package main

import (
	"context"
	"flag"
	"fmt"
	"log"
	"math/rand/v2"
	"os"
	"os/signal"
	"runtime"
	"sync"
	"text/tabwriter"
)

func main() {
	log.SetFlags(0)
	sample := flag.Int("sample", 20, "slips in each room; 0 is all")
	seed := flag.Uint64("seed", 1, "of the draw")
	jobs := flag.Int("jobs", runtime.NumCPU(), "slips tried at once")
	near := flag.Bool("near", false, "ask the short tests of the slip's own room alone")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, flag.Args(), *near, *sample, *seed, *jobs); err != nil {
		log.Fatal(err)
	}
}

// tally counts what became of the slips of a room.
type tally struct {
	room    string
	by      [outcomes]int
	escaped []mutant
}

func run(ctx context.Context, rooms []string, near bool, sample int, seed uint64, jobs int) error {
	lab, err := newLaboratory(ctx)
	if err != nil {
		return err
	}
	defer os.RemoveAll(lab.scratch)
	lab.near = near
	if len(rooms) == 0 {
		if rooms, err = lab.rooms(); err != nil {
			return err
		}
	}
	var all []*tally
	for _, room := range rooms {
		found, err := mutants(lab.root, room)
		if err != nil {
			return err
		}
		if len(found) == 0 {
			return fmt.Errorf("no slip is possible in %q: want a folder of Go files, from the root of the module", room)
		}
		draw := rand.New(rand.NewPCG(seed, uint64(len(found))))
		draw.Shuffle(len(found), func(i, k int) { found[i], found[k] = found[k], found[i] })
		t, err := lab.try(room, found, sample, jobs)
		if err != nil {
			return err
		}
		all = append(all, t)
		for _, m := range t.escaped {
			fmt.Println(m)
		}
	}
	w := tabwriter.NewWriter(os.Stdout, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "room\tby its tests\tby other rooms\tby programs alone\tby none\tequivalent\tnoticed\t")
	for _, t := range all {
		noticed := t.by[byRoom] + t.by[byLibrary]
		tried := noticed + t.by[byPrograms] + t.by[byNone]
		fmt.Fprintf(w, "%s\t%d\t%d\t%d\t%d\t%d\t%.0f %%\t\n", t.room, t.by[byRoom], t.by[byLibrary], t.by[byPrograms], t.by[byNone], t.by[equivalent], 100*float64(noticed)/float64(max(tried, 1)))
	}
	return w.Flush()
}

// try tries slips, in their order, until a sample of them has been judged.
func (lab *laboratory) try(room string, found []mutant, sample, jobs int) (*tally, error) {
	if sample <= 0 {
		sample = len(found)
	}
	t := &tally{room: room}
	var mu sync.Mutex
	var group sync.WaitGroup
	var failure error
	next, judged, under := 0, 0, 0
	// take hands out the next slip while fewer than the sample are judged or under way.
	take := func() (mutant, bool) {
		mu.Lock()
		defer mu.Unlock()
		if failure != nil || next == len(found) || judged+under >= sample {
			return mutant{}, false
		}
		next++
		under++
		return found[next-1], true
	}
	for range jobs {
		group.Go(func() {
			for m, ok := take(); ok; m, ok = take() {
				o, err := lab.judge(room, m)
				mu.Lock()
				under--
				switch {
				case err != nil:
					failure = err
				case o != noMutant:
					judged++
					t.by[o]++
					if o == byNone || o == byPrograms {
						t.escaped = append(t.escaped, m)
					}
					fmt.Fprintf(os.Stderr, "\r%s %d of %d ", room, judged, sample)
				}
				mu.Unlock()
			}
		})
	}
	group.Wait()
	fmt.Fprintln(os.Stderr)
	return t, failure
}
