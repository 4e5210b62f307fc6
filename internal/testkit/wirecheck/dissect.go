package wirecheck

import "slices"

// DissectArgs are the arguments with which tshark reads the E1.31 packets of a
// capture and writes fields of each, whatever port they come from. It knows the
// protocol by its look alone (5568 is not in its table) and asks for the look
// first here: otherwise it takes all packets from about thirty of the ports that
// a system may hand out, such as 44818, for another protocol.
func DissectArgs(capture string, fields []string, more ...string) []string {
	args := []string{"--enable-heuristic", "acn", "-o", "acn.dmx_enable:TRUE", "-o", "udp.try_heuristic_first:TRUE", "-r", capture, "-T", "fields"}
	for _, f := range fields {
		args = append(args, "-e", f)
	}
	return slices.Concat(args, more)
}
