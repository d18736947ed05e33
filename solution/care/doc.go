// Package care tells what a bath can harm, and what to do about it: which metals it
// dissolves, what must never meet, how to work with it, what the part wants
// afterwards, and what becomes of the bath when it is used up.
//
//	all, err := care.Metals(tub)          // a verdict on each metal of the tables
//	parts, err := care.Work{Materials: []string{"chrome", "spring"}, PH: 7}.Parts(t)
//	cautions, err := care.Cautions(t, reagents, []string{"zinc", "paint"})
//	ways, err := care.Recoveries(tub, acid, lye)
//
// That a metal can dissolve is a statement about equilibrium; its film may keep it
// whole, and nothing here tells how fast it goes. Local codes, product labels and
// licensed practice come before anything said here.
package care
