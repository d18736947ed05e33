// Package tables is the reference data of the library: equilibrium constants, solids, reagents,
// waters, indicators, test strips, kinds of rust. They are plain CSV files in the folder data, for
// a chemist to review in a diff, and every number has a source. [Standard] loads them, and
// [Tables.With] adds rows of your own.
//
// # Components, reactions, formations
//
// All species are made of components: the hydrogen ion, bare metal ions, and ligands without their
// protons ([Component]). The files in data/constants hold reactions as the literature writes them,
// one row for each published value: log K or enthalpy, temperature, ionic strength, background
// salt, uncertainty, source, note. All rows of a reaction are fitted together, which gives an
// [Equilibrium] with its observations and their residuals. Adding reactions up gives each species
// from the components: a [Formation].
//
// # Which value, when sources disagree
//
// All published values stay in the files. A row is used, "fit", or kept beside for comparison,
// "hold", and then the note says why after "held: ". What the data leave open is taken from
// reactions of the same kind, with their spread, and every constant tells the temperature and ionic
// strength up to which it rests on data (see [chem.Fit] and [chem.Span]).
//
// The leading source is the critical compilation of Smith, Martell and Motekaitis, NIST SRD 46
// version 8 (2004), whose row numbers the notes give; data/NOTICE.txt tells what was changed. The
// constants are quotients of concentrations, in mol/L. The strong chelants bind Na⁺ and K⁺: these
// pairs are species of their own, and values from sodium and potassium salts are corrected for
// them. The weak pairs of other anions, such as NaCO3⁻, are part of the Debye–Hückel term and of
// constants measured in sodium salts, which baths hold; as species they would count twice.
// Temperature comes in by enthalpy and, where values at three temperatures or enthalpies at two are
// at hand, by heat capacity.
//
// # Looking things up
//
// Names are read in any case, spacing and punctuation; formulas in any spelling that
// [chem.Notation.ParseSpecies] reads with the abbreviations of [Tables.Notation]. A name that is
// not there gives an error that wraps [ErrNotFound] and tells those that come near. [All] lists and
// [Find] looks up what any of the tables holds, in the order of its file. What is returned is the
// caller's to change.
//
// # What loading verifies
//
// Balance of elements and charge; that each species follows from the components in exactly one way;
// that sources are listed, and ids, names and synonyms those of one row; that numbers are finite
// and in range, constants and enthalpies of the size and sign that their kind of reaction has; that
// each further proton is held less firmly than the last; that each further ligand makes a complex
// no weaker, or a note says why; that solids known to be more stable are less soluble. The tests
// corrupt every cell of every file in turn and demand that it is caught.
package tables
