// Package care tells what a bath can harm, and what to do about it: which metals it
// dissolves ([Metals]), what must never meet ([Cautions]), how to work with it and what the
// part wants afterwards ([Work]), and what becomes of the bath when it is used up ([Recoveries]).
//
// That a metal can dissolve is a statement about equilibrium; its film may keep it
// whole, and nothing here tells how fast it goes. Local codes, product labels and
// licensed practice come before anything said here.
package care
