// Package underway holds a check-out in progress with its files: the prop, the part
// that is checked, the answers, the repairs, the record, and what the prop file could
// take over. Single tests are saved and recorded in the same way. The screen and the
// command line both use it and save nothing themselves, so a check begun in one can be
// resumed in the other.
//
// A Desk is one prop with its files. During a check a lock file beside the prop file
// prevents a second check-out of the same prop; the system releases it when the process
// ends, however it ends. Pixels count from 0 in values and from 1 in text.
package underway
