// Package port shares a UDP port among the ringout programs on one machine. A datagram
// to a group reaches every program that joined it, but one to an address of the machine
// reaches one socket only (socket(7), udp(7)). The program that has that socket offers
// copies, and the others subscribe to them.
//
// An offer is a small file in a folder of the user's own: it names a UDP socket
// on 127.0.0.1 and a token that subscribers must show. A subscription is
// renewed every half second and ends two seconds after the last renewal, or
// when the offering program withdraws the offer.
//
// Where another program has the port, Holder names it if the system does.
package port
