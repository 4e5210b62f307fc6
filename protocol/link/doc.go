// Package link holds the sockets: the [Sender] that drives universes and the
// [Listener] that hears them. Together with the strip's node it is the only
// place that imports net.
//
// Clauses ("6.6.2") are those of ANSI E1.31-2018. Rates are packets per second
// of one universe. Every goroutine here is started by Open, Listen or Watch,
// stopped by Close or the context it was given, and leaves nothing behind.
//
// Linux has faster system calls (sendmmsg, recvmmsg, timerfd, the error queue);
// the build tag "portable" selects the other systems' code on Linux, for tests.
//
// IPv6 is sent by unicast only: public libraries read the standard's IPv6
// groups in two ways, and a sender and a receiver may use different groups.
package link
