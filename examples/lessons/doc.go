// Package lessons is a course in eleven programs, one idea each. The comment at the
// head of a program is the lesson, and its output the evidence. In order:
//
//	fractions     in which forms EDTA is at each pH
//	competition   what a metal makes of that: calcium against iron
//	rustlimit     why pH 11 does not clean
//	buffers       what holds the pH, and where nothing does
//	stepwise      so the acid goes in step by step
//	hardwater     what the water of the tap takes away
//	drift         how rust moves the pH, and what to add
//	opentub       what gas and air do to a bath that stands
//	strength      what a stronger bath buys
//	cost          what it costs, to the end
//	drops         the same chemistry as a test kit
//
// Each runs without flags, as in
//
//	go run ./examples/lessons/fractions
//
// prints a table and what to see in it, and takes -csv or -json for scripts and
// -help for its flags. The notebooks in examples/notebooks use them.
//
// The tests run every program and hold its table against the folder golden,
// text to the letter and numbers within a tenth of a per cent. When a better
// constant moves them, look at the change and take it over with
//
//	go test ./examples/lessons -update
package lessons
