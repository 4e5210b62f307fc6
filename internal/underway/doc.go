// Package underway is a check-out under way with its disk: the prop, the part
// it is of, what was answered, what was mended, the record, and what the prop
// file could take over. Single tests are kept and recorded in the same way. The
// screen and the command line both use it and keep nothing of their own, so
// what was begun in one is taken up in the other.
//
// One Desk is one prop with its files. While something is under way a lock
// file beside the prop file keeps a second check-out of the same prop away; the
// system lets go of it when the process ends, however it ends. Pixels count from
// 0 in values and from 1 in text.
package underway
