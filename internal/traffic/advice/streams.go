package advice

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/ringout/protocol"
)

// recentEnough is how long the end of a stream is reported (our choice).
const recentEnough = 60 * time.Second

// stream adds the sentences about one source on one universe.
func (w *writer) stream(s *protocol.SourceReport, st *protocol.StreamReport) {
	who, u := Capital(Called(s)), st.Universe
	if st.State != protocol.Live {
		w.gone(s, st)
		return
	}
	note := func(format string, args ...any) {
		w.say(Sentence{About: s.CID, Text: text(format, args...)}, u)
	}
	switch {
	case !sends(st, protocol.StartLevels) && sends(st, protocol.StartPriority) && len(st.StartCodes) == 1:
		note("%s sends {u} no levels, only START code 0xdd (a priority for each slot): strips show nothing of it.", who)
	case !sends(st, protocol.StartLevels):
		note("%s sends {u} only with START code %s, which are no levels: strips leave it out.", who, otherCodes(st))
	case st.Preview:
		note("%s sends {u} for preview only: receivers must not show it.", who)
	case w.ours.Drives(u):
		w.rival(s, st)
	}
	if codes := otherCodes(st); codes != "" && sends(st, protocol.StartLevels) {
		note("%s also sends START code %s on {u}: %s", who, codes, codesMean(st))
	}
	w.synchronised(s, st)
	if st.Shared {
		w.say(Sentence{Weight: Trouble, About: s.CID, Do: "Stop one of two senders", Why: text("both use one CID on {u}"),
			Text: text("Two senders at %s use one CID on {u} (%s): receivers take them for one source and drop packets of both. Give one of them a CID of its own.", hosts(st), s.CID)}, u)
	}
}

// rival adds the sentence about a live source on a universe that we drive too.
func (w *writer) rival(s *protocol.SourceReport, st *protocol.StreamReport) {
	if sends(st, protocol.StartPriority) {
		w.slotRival(s, st)
		return
	}
	p, mine := int(st.Priority), int(w.ours.Priority)
	who, stop := Capital(Called(s)), "Stop "+address(s)
	over, outbid := "", "."
	if p < protocol.MaxPriority {
		over = fmt.Sprintf(" or send above %d", p)
		outbid = fmt.Sprintf(", or send at more than %d.", p)
	}
	switch {
	case p > mine && p == protocol.MaxPriority:
		w.say(Sentence{Weight: Trouble, About: s.CID, Do: stop, Why: text("your prop follows it on {u} at priority %d", p),
			Text: text("%s also drives {u} at priority %d, the highest there is: your prop follows it, not you (%d). Stop it there.", who, p, mine)}, st.Universe)
	case p > mine:
		w.say(Sentence{Weight: Trouble, About: s.CID, Do: stop + over, Why: text("it lights your prop ({u})"),
			Text: text("%s also drives {u} at priority %d: your prop follows it, not you (%d). Stop it there%s", who, p, mine, outbid)}, st.Universe)
	case p == mine:
		w.say(Sentence{Weight: Trouble, About: s.CID, Do: stop + over, Why: text("it drives {u} at your own priority"),
			Text: text("%s also drives {u} at your own priority, %d: receivers may merge, flicker or ignore one of you. Stop it there%s", who, p, outbid)}, st.Universe)
	default:
		w.say(Sentence{Weight: Warning, About: s.CID, Do: stop, Why: text("your prop follows it on {u} when you stop"),
			Text: text("%s also drives {u} at priority %d: your prop follows you (%d) as long as you send, and it when you stop. Stop it there.", who, p, mine)}, st.Universe)
	}
}

// slotRival adds the sentence about a rival that gives each slot a priority (START code
// 0xdd): the slots of the universe that it takes from us.
func (w *writer) slotRival(s *protocol.SourceReport, st *protocol.StreamReport) {
	taken, tied := SlotsTaken(st, w.ours.Priority)
	who := Capital(Called(s))
	say := Sentence{Weight: Trouble, About: s.CID, Do: "Stop " + address(s), Why: text("it takes slots of {u} from you")}
	const how = "with a priority for each slot (START code 0xdd): receivers that know it"
	switch {
	case len(taken) > 0 && len(tied) > 0:
		say.Text = text("%s also drives {u} %s follow it on %s, and neither of you for sure on %s. Stop it there.", who, how, Slots(taken), Slots(tied))
	case len(taken) > 0:
		say.Text = text("%s also drives {u} %s follow it on %s and you on the rest. Stop it there.", who, how, Slots(taken))
	case len(tied) > 0:
		say.Why = text("it drives slots of {u} at your own priority")
		say.Text = text("%s also drives {u} %s merge both of you or flicker on %s. Stop it there.", who, how, Slots(tied))
	default:
		say.Weight, say.Why = Warning, text("it drives slots of {u} when you stop")
		say.Text = text("%s also drives {u} %s follow you on every slot as long as you send. Stop it there.", who, how)
	}
	if p := int(st.Priority); p >= int(w.ours.Priority) {
		say.Weight = Trouble
		say.Text = strings.TrimSuffix(say.Text, "Stop it there.") + fmt.Sprintf("Others follow its packet priority, %d, against yours, %d. Stop it there.", p, w.ours.Priority)
	}
	w.say(say, st.Universe)
}

// SlotsTaken returns the slots, from 0, that a source with slot priorities wins
// from a sender of priority mine, and those where both are equal. Priority 0
// means that the source does not drive the slot.
func SlotsTaken(st *protocol.StreamReport, mine uint8) (taken, tied []int) {
	if st.SlotPriority == nil {
		return nil, nil
	}
	for i, p := range st.SlotPriority[:min(st.Slots, len(st.SlotPriority))] {
		switch {
		case p == 0 || p > protocol.MaxPriority || p < mine:
		case p == mine:
			tied = append(tied, i)
		default:
			taken = append(taken, i)
		}
	}
	return taken, tied
}

// Slots names slots that count from 0 as the builder counts them, from 1.
func Slots(at []int) string {
	us := make([]protocol.Universe, len(at))
	for i, s := range at {
		us[i] = protocol.Universe(s + 1)
	}
	return strings.Replace(Named(us), "universe", "slot", 1)
}

// gone adds the sentence about a source that ended a universe or fell silent on it. A
// universe that is no longer listened to gets none.
func (w *writer) gone(s *protocol.SourceReport, st *protocol.StreamReport) {
	ago := w.r.At.Sub(st.Since)
	if ago > recentEnough || st.State == protocol.Unheard {
		return
	}
	who := Called(s)
	if st.State == protocol.Finished {
		w.say(Sentence{About: s.CID, Text: text("%s, %s ended {u}.", secondsAgo(ago), who)}, st.Universe)
		return
	}
	say := Sentence{About: s.CID, Text: text("%s, %s fell silent on {u} without ending it: it was cut off, or a switch stopped passing its multicast on.", secondsAgo(w.r.At.Sub(st.Last)), who)}
	if w.ours.Drives(st.Universe) {
		say.Weight, say.Do, say.Why = Warning, "Look whether "+address(s)+" comes back", text("it fell silent on {u}")
	}
	w.say(say, st.Universe)
}

// synchronised reports data that waits for synchronization packets (6.2.4.1,
// 11.1). A receiver that never received one acts at once; a receiver that did
// waits.
func (w *writer) synchronised(s *protocol.SourceReport, st *protocol.StreamReport) {
	if st.SyncAddress == 0 {
		return
	}
	who, u, sync := Capital(Called(s)), st.Universe, st.SyncAddress
	switch {
	case st.Frozen:
		w.say(Sentence{Weight: Trouble, About: s.CID, Do: "Stop " + address(s) + " or start its sync", Why: text("receivers of {u} stand still"),
			Text: text("%s has {u} wait for synchronization packets on universe %d. None has come for 2.5 s: receivers stand still until one does.", who, sync)}, u)
	case w.synced(sync):
		w.say(Sentence{About: s.CID, Text: text("%s has {u} wait for synchronization packets on universe %d, and they come.", who, sync)}, u)
	case w.r.HearsSince(sync, protocol.LossTimeout):
		w.say(Sentence{About: s.CID, Text: text("%s names universe %d for synchronization of {u}, and no such packet comes: a receiver that never had one acts at once; one that had waits for the next.", who, sync)}, u)
	default:
		w.say(Sentence{About: s.CID, Text: text("%s names universe %d for synchronization of {u}; whether such packets come is not known here.", who, sync)}, u)
	}
}

// synced reports whether any source sends synchronization packets for address.
func (w *writer) synced(address protocol.Universe) bool {
	return slices.ContainsFunc(w.r.Sources, func(s protocol.SourceReport) bool {
		return slices.ContainsFunc(s.Syncs, func(y protocol.SyncReport) bool { return y.Address == address && y.Live })
	})
}

// sends reports whether a stream has had packets of a START code.
func sends(st *protocol.StreamReport, code uint8) bool {
	return slices.ContainsFunc(st.StartCodes, func(c protocol.StartCount) bool { return c.Code == code })
}

// otherCodes lists the START codes that are not levels.
func otherCodes(st *protocol.StreamReport) string {
	var codes []string
	for _, c := range st.StartCodes {
		if c.Code != protocol.StartLevels {
			codes = append(codes, fmt.Sprintf("0x%02x", c.Code))
		}
	}
	return strings.Join(codes, ", ")
}

// codesMean explains other START codes beside levels.
func codesMean(st *protocol.StreamReport) string {
	if len(st.StartCodes) == 2 && sends(st, protocol.StartPriority) {
		return "a priority for each slot, which some receivers follow."
	}
	return "receivers that know only levels leave those packets out."
}

// secondsAgo begins a sentence: 1 s ago, 12 s ago, just now.
func secondsAgo(d time.Duration) string {
	if n := int(d.Round(time.Second).Seconds()); n > 0 {
		return fmt.Sprintf("%d s ago", n)
	}
	return "Just now"
}
