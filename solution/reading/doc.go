/*
Package reading turns readings into knowledge of a bath: which salt is in the bag,
how strong the bath is, and what may be added next without going past the target.
[New] works a [Setup] out, [Model.Infer] takes in what was done and seen, and
[Posterior.Advise] says what to do next; [Model.Forecast] tells what is known before
anything is measured. The example shows all of it.

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

# What is believed

A bath is drawn from the tables: one of the salts that the bag may hold, its
assay, its free base, what fills a level spoon of it, the ions of the water, the
strength and the packing of what sets the pH, the error of every amount measured
out, and how far the constants may be off. The ranges of the tables hold nine cases
in ten, and so do those of the draws.

What is told may be wrong, too. The doubts of the tables ([tables.Doubt]) say how
likely that is and how far it goes: another salt than the label says, something else
altogether, a weak bag or one with soda, a cup too many, heaped spoons, other water or
carbon dioxide in it, weak acid, an instrument that is off in all its readings, and a
reading that has nothing to do with the bath. Something else is a powder of the tables, known
by the protons that its ligands hold, or a blend of two. After every amount the pH strays a
little from what the model says. So two readings that agree need not both be
mistakes, and win over a label; [Posterior.Suspects] says what they speak against.

What follows from readings is a cloud of some hundred baths that agree with them and one
of something else, each weighed by what it foretold, and anything asked of them is
counted by weight. Nobody knows the odds of one bag: what is stated of a bath, the range of its
pH and the chance of the window, holds for all odds of its doubts within a factor of the
table's. The result hangs on nothing but setup and events.

# From the solver to a thousand baths

At a given pH the strong base that keeps a bath neutral grows nearly straight with
the chelant and with the acid in it, and once the chelant is counted as its acid, all
its salts lie on the same surface. [New] titrates a dozen mixtures with the solver and
interpolates between them, to a few hundredths of a pH, which a test measures.

# How far to trust it

examples/calibration brings baths to their pH of which something told is wrong, with
the solver for the truth, and compares the advice with what a shop does without it.
What is not modelled: carbon dioxide that leaves or enters while the bath stands,
water that evaporates, rust already dissolved. Take the readings before the parts go in.
*/
package reading
