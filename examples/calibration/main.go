// Command calibration measures whether the advice of package reading keeps its word on
// baths of which something told is wrong: the label, the strength of the bag, what was
// counted, the water, the spoons, the strip. The pH of each bath comes from the solver,
// not from the short cut that the advice uses.
//
// On the same baths it tries what a shop does without advice: a level tablespoon, dip
// and repeat until the strip shows the target; and half of what the book says for the
// usual salt at once, then tablespoons. Against these it judges the advice: past the
// target by more than a unit in at most 5 % of the baths and 3 points above the better
// of the two; within a unit at the end in 90 % and not 3 points below; half the
// tablespoon rule's pours; ranges of nine in ten that hold the pH in 85 %; and a
// claimed chance that comes true, within 5 points. It names the goals that are missed.
//
// Without flags it draws 20 baths of each truth. -baths 200 takes some minutes; the
// doubts of the tables and the settings of the advice were chosen on seeds from 1001.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/reading"
	"example.com/chelation/tables"
)

func main() {
	cli.Main("calibration", func(args []string, out, diagnostics io.Writer) error {
		ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
		defer stop()
		return run(ctx, args, out, diagnostics)
	})
}

func run(ctx context.Context, args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("calibration", "measures how far the advice on the next addition can be trusted.", diagnostics)
	baths := f.Int("baths", 20, "baths of each truth")
	first := f.Uint64("seed", 1, "of the first bath; the others follow")
	only := f.String("truth", "", "truths to try, separated by commas, by any part of their name; empty for all")
	if err := cli.Parse(f, args); err != nil {
		return err
	}
	if *baths < 1 || *baths > 1e6 {
		return cli.Usagef("-baths: %d: want 1 to a million", *baths)
	}
	chosen := truths
	if wanted := cli.List(*only); len(wanted) > 0 {
		chosen = nil
		for _, u := range truths {
			if slices.ContainsFunc(wanted, func(part string) bool { return strings.Contains(u.name, part) }) {
				chosen = append(chosen, u)
			}
		}
		if len(chosen) == 0 {
			return cli.Usagef("-truth: no truth is called %q", *only)
		}
	}
	t, err := tables.Standard()
	if err != nil {
		return err
	}
	models := map[string]*reading.Model{}
	for _, label := range []string{"", named} {
		s, err := tub(t, label)
		if err != nil {
			return err
		}
		if models[label], err = reading.New(t, s); err != nil {
			return err
		}
	}
	p := progress{out: diagnostics, total: int64(len(chosen) * len(rules) * *baths)}
	stop := p.start()
	defer stop()
	var results []*result
	for _, u := range chosen {
		var all []*result
		for _, r := range rules {
			x, err := r.try(ctx, t, models[u.label], u, *first, *baths, &p.done)
			if err != nil {
				return fmt.Errorf("%s, %s: %w", u.name, r.name, err)
			}
			all = append(all, x)
		}
		judge(all)
		results = append(results, all...)
	}
	stop()
	switch {
	case format.JSON:
		return cli.JSON(out, map[string]any{"ways": results})
	case format.CSV:
		return table(results).CSV(out)
	}
	return report(out, models[""].Setup(), *baths, results)
}

// tub is the tool library's, of three level cups in 20 litres of tap water, with what
// is on the label of the bag.
func tub(t *tables.Tables, label string) (s reading.Setup, err error) {
	s = reading.Setup{Volume: 20 * measure.Litre, Temperature: chem.Celsius(20)}
	var errs [5]error
	s.Water, errs[0] = t.Water("moderately hard tap water")
	s.Amount, errs[1] = measure.ParseAmount("3 cups")
	s.Acid, errs[2] = t.Reagent("citric acid")
	s.Base, errs[3] = t.Reagent("washing soda")
	if label != "" {
		s.Bag = make([]reading.Candidate, 1)
		s.Bag[0].Weight = 1
		s.Bag[0].Salt, errs[4] = t.Reagent(label)
	}
	return s, errors.Join(errs[:]...)
}

// try follows the rule in every bath.
func (r rule) try(ctx context.Context, t *tables.Tables, m *reading.Model, u truth, first uint64, baths int, done *atomic.Int64) (*result, error) {
	runs := make([]*trial, baths)
	errs := make([]error, runtime.GOMAXPROCS(0))
	var next atomic.Int64
	var wg sync.WaitGroup
	for k := range errs {
		wg.Go(func() {
			for errs[k] == nil {
				i := int(next.Add(1)) - 1
				if i >= baths {
					return
				}
				if errs[k] = ctx.Err(); errs[k] != nil {
					return
				}
				if runs[i], errs[k] = draw(t, m, u, first+uint64(i)); errs[k] == nil {
					errs[k] = r.follow(runs[i])
				}
				done.Add(1)
			}
		})
	}
	wg.Wait()
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	return sum(u, r, m.Setup(), runs), nil
}

// progress tells how far a run is that takes more than two seconds.
type progress struct {
	out   io.Writer
	total int64
	done  atomic.Int64
}

func (p *progress) start() (stop func()) {
	quit, ended := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(ended)
		for tick := time.NewTicker(2 * time.Second); ; {
			select {
			case <-quit:
				tick.Stop()
				return
			case <-tick.C:
				fmt.Fprintf(p.out, "%d of %d runs\n", p.done.Load(), p.total)
			}
		}
	}()
	return sync.OnceFunc(func() {
		close(quit)
		<-ended
	})
}
