// Package journal keeps the life of a bath as a list of events, from [Create] or [Open] on, and
// replays it: [Life.Report] tells what to do next. What follows from the events is computed
// again each time: a better constant in the tables betters every old journal. [Learn] reads
// the lives of many baths from one bag, for the next one to begin with.
//
// # The file
//
// One event is one line of JSON with the version of the format, a number that counts up from 1, and
// a check sum over the line and the one before it. So a line that was lost, moved, doubled or
// altered is noticed, and the file is refused with a [*chem.InputError] that tells where; [Repair]
// writes what is sound of it as a new file. Lines are appended under a lock that other programs
// respect, and are on the disk before [Journal.Append] returns. A file beside it, its name ending
// in .confirmed, keeps how many there are, so that an end that gets lost is noticed too. A torn
// last line, as a loss of power leaves it, was never confirmed: the rest is kept, and the next
// Append takes its place.
//
// What was written wrongly is struck out or amended by a later event that says why
// (Struck, Amended): the file never shrinks. Order is the file's; times are what was
// said, and [Life.Report] points out where the clock jumped. What is more likely a slip than
// what happened (20 kg of lye) is asked about: [Event.Sure] says that it is so.
package journal
