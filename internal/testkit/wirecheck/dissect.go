package wirecheck

import "slices"

// DissectArgs returns tshark's arguments for writing fields of each E1.31 packet of
// a capture. tshark has no port for E1.31 and recognizes it by content, so the
// arguments make it try that first. Otherwise it would take packets from about
// thirty ports that a system may assign, such as 44818, for another protocol.
func DissectArgs(capture string, fields []string, more ...string) []string {
	args := []string{"--enable-heuristic", "acn", "-o", "acn.dmx_enable:TRUE", "-o", "udp.try_heuristic_first:TRUE", "-r", capture, "-T", "fields"}
	for _, f := range fields {
		args = append(args, "-e", f)
	}
	return slices.Concat(args, more)
}
