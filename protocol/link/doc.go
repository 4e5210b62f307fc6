// Package link holds the sockets: the [Sender] that drives universes and the
// [Listener] that hears them. Together with the strip's node it is the only
// place that imports net.
//
// Clauses ("6.6.2") are those of ANSI E1.31-2018. Rates are packets per second
// of one universe. Every goroutine here is started by Open, Listen or Watch,
// stopped by Close or the context it was given, and leaves nothing behind.
//
// Linux has the fast ways (sendmmsg, recvmmsg, timerfd, the error queue); the
// build tag "portable" takes the other systems' ways there, for tests.
//
// IPv6 goes by unicast only: public libraries read the standard's IPv6 groups
// in two ways, so that two of them need not meet.
package link
