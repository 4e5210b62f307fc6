package check

// Unsaved names the record while a check-out is on no disk yet. A simulated
// prop without a file has nothing to lose.
func (m Model) Unsaved() string {
	if len(m.rec.pending) > 0 && !(m.demo && m.path == "") {
		return "the bench record"
	}
	return ""
}
