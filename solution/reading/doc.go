/*
Package reading turns readings into knowledge of a bath: which salt is in the
bag, how strong the bath is, and what may be added next without going past the
target.

	model, err := reading.New(t, reading.Setup{
		Water: tap, Volume: 20 * litre, Temperature: chem.Celsius(20),
		Amount: cups, Acid: citric, Base: washingSoda,
	})
	posterior, err := model.Infer([]reading.Event{
		reading.Read{Strip: strip, Value: 11},
		reading.Added{Reagent: citric, Amount: quarterCup},
		reading.Read{Strip: strip, Value: 8},
	})
	posterior.Salts()            // what the bag may hold, with probabilities
	advice, err := posterior.Advise()
	advice.Spooned.Text          // "2 level teaspoons"
	advice.Why                   // in plain words

# Why a calculation is not enough

Tetrasodium EDTA takes up its first proton around pH 10 and its second around
pH 6. Between pH 9 and pH 7.5 little in the bath holds the pH, and a few grams of
acid move 20 litres by two units. The dose that lands there hangs on the
difference of two large amounts, the base in the bag and the acid in the spoon;
a level spoon holds its mass within a sixth, the bag may hold water or free base,
and which salt it is the label may not say. A strip read to one unit tells less
about the pH than it seems to, and yet more about the dose than the label does:
the same steep curve that makes a dose hard to hit makes a reading near it
sharp.

# What is unknown, and what is believed at first

A bath is drawn from the tables: one of the salts that the bag may hold, its
assay, its free base, what fills a level spoon of it, the ions of the water, the
strength and the packing of the acid, the error of every amount measured out,
and how far the constants may be off. The ranges of the tables hold nine cases
in ten, and so do those of the draws.

A strip has an error that is made of three parts: rounding to its marks, a bias
that stays with the batch and the eye, and what varies from look to look. And
one reading in fifty has nothing to do with the bath at all, because someone
misread, mistyped or did not stir. That last part keeps one wrong reading from
bending everything else: it is flagged and set aside, and is not averaged in.

# What follows from readings

[Model.Infer] returns a cloud of a thousand baths that agree with what was done
and seen, each as credible as the next. Anything asked of the cloud is counted:
the probability of a salt is the share of baths that hold it, and the largest
safe dose is the one that at most a given share of them would overshoot. The
result hangs on nothing but setup and events; there is neither a clock in it nor
a random source of the outside.

Near an equivalence point one reading proves little. A handbook prints pH 9.3
for one per cent of trisodium EDTA where the pure salt should read 8.3: a few
per cent of free base make the difference, and bags differ by more. The cloud
knows that, as the range of free base is part of what is believed at first: see
the example.

# From the solver to a thousand baths

Solving for the equilibrium of every bath at every reading would take seconds.
But at a given pH the strong base that keeps a bath neutral grows nearly straight
with the EDTA and with the acid in it, and once EDTA is counted as its acid, all
salts lie on the same surface. [New] titrates a dozen mixtures with the solver
and interpolates between them: the pH comes out within a few hundredths of that
of the solver, which a test measures. [Trial], with which all this is tested, uses
the solver itself.

# How far to trust it

On 2000 baths drawn from these same priors, an unlabelled bag by level cups and
acid by level spoons, the advice carried 0.9 % past the target by more than a
unit with a strip of one unit and 0.5 % with a meter of 0.1, where 5 % were
tolerated. It took 1.7 and 1.2 additions on average, and left 85 % and 99 % in the
window. Ranges of nine in ten held the pH, the EDTA and the acid still needed in
89 % to 91 % of cases. To add the textbook dose for tetrasodium EDTA at once
overshot 22 % and left 24 % in the window; quarter teaspoons until the strip says
7 took 24 additions and left 17 %. examples/calibration measures all this.

What a course needs is mostly one large addition and, with a strip, one small
one; the first advice expects somewhat too few, 1.5 where it takes 1.7.

On a bath that the priors do not know, say of another chelant sold as EDTA, the
evidence turns small and readings are flagged. What is not modelled: carbon
dioxide that leaves or enters while the bath stands, water that evaporates, rust
already dissolved. Take the readings before the parts go in.
*/
package reading
