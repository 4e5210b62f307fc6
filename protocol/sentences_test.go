package protocol

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

var ours = Ours{CID: CID{200}, Priority: 100, Universes: []Universe{3, 4}}

// What the builder is told, by what was on the wire. The facts behind the
// sentences are in the clauses named.
func TestSentences(t *testing.T) {
	for _, row := range []struct {
		name, source string
		traffic      func(w *wire)
		want         []string
		weight       Weight // of the first
	}{
		{
			name: "nothing", source: "-",
			traffic: func(w *wire) { w.play(50, w.talker(200, "ringout", benchHost, 3, 100)) },
		},
		{
			name: "rival above us", source: "6.2.3", weight: Trouble,
			traffic: func(w *wire) { w.play(50, w.talker(1, "Pier PC", pierHost, 3, 150)) },
			want:    []string{"'Pier PC' at 10.0.0.7 also drives universe 3 at priority 150, so your strip follows it, not you (100). Stop it there, or send at more than 150."},
		},
		{
			name: "rival at the top", source: "6.2.3", weight: Trouble,
			traffic: func(w *wire) { w.play(50, w.talker(1, "Pier PC", pierHost, 3, 200)) },
			want:    []string{"'Pier PC' at 10.0.0.7 also drives universe 3 at priority 200, the highest there is, so your strip follows it, not you (100). Stop it there."},
		},
		{
			name: "rival beside us", source: "6.2.3", weight: Trouble,
			traffic: func(w *wire) { w.play(50, w.talker(1, "Pier PC", pierHost, 3, 100)) },
			want:    []string{"'Pier PC' at 10.0.0.7 also drives universe 3 at your own priority, 100: receivers may merge, flicker or ignore one of you. Stop it there, or send at more than 100."},
		},
		{
			name: "rival below us", source: "6.2.3", weight: Warning,
			traffic: func(w *wire) { w.play(50, w.talker(1, "", pierHost, 4, 50)) },
			want:    []string{"A source without a name at 10.0.0.7 also drives universe 4 at priority 50: your strip follows you (100) as long as you send, and it when you stop."},
		},
		{
			name: "not our universe", source: "-",
			traffic: func(w *wire) { w.play(50, w.talker(1, "Pier PC", pierHost, 5, 150)) },
		},
		{
			name: "two strangers at odds", source: "6.2.3", weight: Warning,
			traffic: func(w *wire) {
				w.play(50, w.talker(1, "Pier PC", pierHost, 5, 120), w.talker(2, "Quay PC", quayHost, 5, 120))
			},
			want: []string{"2 sources drive universe 5 at equal priority 120 ('Pier PC' at 10.0.0.7, 'Quay PC' at 10.0.0.8): receivers may merge, flicker or ignore all but one."},
		},
		{
			name: "preview", source: "6.2.6", weight: Note,
			traffic: func(w *wire) {
				k := w.talker(1, "Pier PC", pierHost, 3, 150)
				k.d.Options = Preview
				w.play(50, k)
			},
			want: []string{"'Pier PC' at 10.0.0.7 sends universe 3 for preview only: receivers must not show it."},
		},
		{
			name: "loss", source: "6.2.5", weight: Trouble,
			traffic: func(w *wire) {
				k := w.talker(1, "Pier PC", pierHost, 5, 100)
				for i := range 300 {
					if i%6 == 5 {
						k.d.Sequence++ // one in six is sent and lost: 16.7 %
					} else {
						w.play(1, k)
					}
				}
			},
			want: []string{"17 % of the packets from 'Pier PC' at 10.0.0.7 on universe 5 are lost on the way: look at the wireless link, the cable and the switch."},
		},
		{
			name: "ended", source: "6.2.6", weight: Note,
			traffic: func(w *wire) {
				k := w.talker(1, "Pier PC", pierHost, 3, 150)
				w.play(50, k)
				k.d.Options = Terminated
				w.play(3, k)
				w.wait(12 * time.Second)
			},
			want: []string{"'Pier PC' at 10.0.0.7 ended universe 3 12 s ago."},
		},
		{
			name: "fell silent", source: "6.7.1", weight: Warning,
			traffic: func(w *wire) {
				w.play(50, w.talker(1, "Pier PC", pierHost, 3, 150))
				w.wait(12 * time.Second)
			},
			want: []string{"'Pier PC' at 10.0.0.7 fell silent on universe 3 12 s ago without ending it: it was cut off, or a switch stopped passing its multicast on."},
		},
		{
			name: "unknown START code alone", source: "7.7", weight: Note,
			traffic: func(w *wire) {
				k := w.talker(1, "Pier PC", pierHost, 3, 150)
				k.d.StartCode = 0x17
				w.play(50, k)
			},
			want: []string{"'Pier PC' at 10.0.0.7 sends universe 3 only with START code 0x17, which are no levels: strips leave it out."},
		},
		{
			name: "slot priorities", source: "6.2.3.2", weight: Trouble,
			traffic: func(w *wire) {
				k := w.talker(1, "Pier PC", pierHost, 3, 100)
				for range 50 {
					k.d.StartCode ^= StartPriority
					w.play(1, k)
				}
			},
			want: []string{
				"'Pier PC' at 10.0.0.7 also drives universe 3 with a priority for each slot (START code 0xdd): receivers that know it decide slot by slot who is followed. Stop it there while you test.",
				"'Pier PC' at 10.0.0.7 also sends START code 0xdd on universe 3: a priority for each slot, which some receivers follow.",
			},
		},
		{
			name: "sync never begun", source: "11.1.1", weight: Note,
			traffic: func(w *wire) {
				k := w.talker(1, "Pier PC", pierHost, 5, 100)
				k.d.SyncAddress = 7962
				w.play(50, k)
			},
			want: []string{"'Pier PC' at 10.0.0.7 names universe 7962 for synchronization of universe 5, but no such packet was heard here: receivers act at once."},
		},
		{
			name: "sync lost", source: "11.1.2", weight: Trouble,
			traffic: func(w *wire) {
				k := w.talker(1, "Pier PC", pierHost, 5, 100)
				k.d.SyncAddress = 7962
				w.hear(k.from, AppendSync(nil, Sync{CID: k.d.CID, Address: 7962}))
				w.play(150, k)
			},
			want: []string{"'Pier PC' at 10.0.0.7 has universe 5 wait for synchronization packets on universe 7962, and none has come for 2.5 s: receivers stand still until one does."},
		},
		{
			name: "sync of two, lost for one", source: "11.1.2", weight: Trouble,
			traffic: func(w *wire) {
				a, b := w.talker(1, "Pier PC", pierHost, 5, 100), w.talker(2, "Quay PC", quayHost, 5, 90)
				a.d.SyncAddress, b.d.SyncAddress = 7962, 7963
				w.hear(a.from, AppendSync(nil, Sync{CID: a.d.CID, Address: 7962}))
				for i := range uint8(150) {
					w.play(1, a, b)
					w.hear(b.from, AppendSync(nil, Sync{CID: b.d.CID, Sequence: i, Address: 7963}))
				}
			},
			want: []string{
				"'Pier PC' at 10.0.0.7 has universe 5 wait for synchronization packets on universe 7962, and none has come for 2.5 s: receivers stand still until one does.",
				"'Quay PC' at 10.0.0.8 has universe 5 wait for synchronization packets on universe 7963, and they come.",
			},
		},
		{
			name: "one CID used twice", source: "5.6", weight: Trouble,
			traffic: func(w *wire) {
				a, b := w.talker(1, "Pier PC", pierHost, 5, 100), w.talker(1, "Pier PC", quayHost, 5, 100)
				b.d.Sequence = 90
				w.play(100, a, b)
			},
			want: []string{"Two senders at 10.0.0.7 and 10.0.0.8 use one CID on universe 5 (01000000-0000-0000-0000-000000000000): receivers take them for one source and drop packets of both. Give one of them a CID of its own."},
		},
		{
			name: "our CID used by another", source: "5.6", weight: Trouble,
			traffic: func(w *wire) {
				a, b := w.talker(200, "ringout", benchHost, 3, 100), w.talker(200, "ringout", quayHost, 3, 100)
				b.d.Sequence = 90
				w.play(100, a, b)
			},
			want: []string{"Somebody else sends universe 3 under our own CID (heard from 10.0.0.2 and 10.0.0.8): receivers take both for one source and drop packets of both. Stop the other, or give this computer a new CID."},
		},
		{
			name: "announced but not heard", source: "4.3", weight: Warning,
			traffic: func(w *wire) {
				d := listing(2, 3)
				d.Source = NameOf("Pier PC")
				w.hear(pierHost, AppendDiscovery(nil, d))
				require.Empty(w.t, w.trk.Report(w.now).Sentences(ours), "it may be heard yet")
				w.wait(LossTimeout)
			},
			want: []string{"'Pier PC' at 10.0.0.7 announces that it sends universe 3, though none of it reaches here: it may send straight to your host. Stop it there while you test."},
		},
		{
			name: "ended here but still announced", source: "4.3, 12.2", weight: Warning,
			traffic: func(w *wire) {
				k := w.talker(1, "Pier PC", pierHost, 3, 150)
				w.play(50, k)
				k.d.Options = Terminated
				w.play(3, k)
				d := listing(3)
				d.CID, d.Source = CID{1}, NameOf("Pier PC")
				w.wait(18 * time.Second)
				w.hear(pierHost, AppendDiscovery(nil, d))
				require.Len(w.t, w.trk.Report(w.now).Sentences(ours), 1, "it has until the end of the second interval")
				w.wait(5 * time.Second)
			},
			want: []string{
				"'Pier PC' at 10.0.0.7 announces that it sends universe 3, though none of it reaches here: it may send straight to your host. Stop it there while you test.",
				"'Pier PC' at 10.0.0.7 ended universe 3 23 s ago.",
			},
		},
		{
			name: "malformed", source: "6.2.3", weight: Warning,
			traffic: func(w *wire) {
				bad := AppendData(nil, six(0, 0, 0))
				bad[108] = 201
				for range 3 {
					w.hear(pierHost, bad)
				}
			},
			want: []string{"3 packets from 10.0.0.7 are no proper E1.31, so receivers drop them; the last: e1.31: Priority at octet 108 is 201, want 0 to 200 (clause 6.2.3)."},
		},
		{
			name: "too fast", source: "6.6.1", weight: Note,
			traffic: func(w *wire) {
				k := w.talker(1, "Pier PC", pierHost, 5, 100)
				for range 600 {
					w.now = w.now.Add(10 * time.Millisecond)
					k.say()
				}
			},
			want: []string{"'Pier PC' at 10.0.0.7 sends universe 5 100 times a second; the standard allows 44, and slow receivers may stumble."},
		},
	} {
		t.Run(row.name, func(t *testing.T) {
			w := newWire(t)
			row.traffic(w)
			var got []string
			sentences := w.trk.Report(w.now).Sentences(ours)
			for _, s := range sentences {
				got = append(got, s.Text)
			}
			require.Equal(t, row.want, got, row.source)
			if len(got) > 0 {
				require.Equal(t, row.weight, sentences[0].Weight)
			}
		})
	}
}

// A source on many universes gets one sentence.
func TestSentencesJoinUniverses(t *testing.T) {
	w := newWire(t)
	var ks []*talker
	mine := Ours{CID: CID{200}, Priority: 100}
	for _, u := range []Universe{3, 4, 5, 6, 9, 11} {
		ks = append(ks, w.talker(1, "Pier PC", pierHost, u, 150))
		mine.Universes = append(mine.Universes, u)
	}
	for i := range 250 {
		if i%10 == 9 {
			for _, k := range ks {
				k.d.Sequence++
			}
		} else {
			w.play(1, ks...)
		}
	}
	got := w.trk.Report(w.now).Sentences(mine)
	require.Len(t, got, 2)
	require.Equal(t, "'Pier PC' at 10.0.0.7 also drives universes 3 to 6, 9 and 11 at priority 150, so your strip follows it, not you (100). Stop it there, or send at more than 150.", got[0].Text)
	require.Equal(t, mine.Universes, got[0].Universes)
	require.Equal(t, "10 % of the packets from 'Pier PC' at 10.0.0.7 on universes 3 to 6, 9 and 11 are lost on the way: look at the wireless link, the cable and the switch.", got[1].Text)
}

func TestNamed(t *testing.T) {
	for want, us := range map[string][]Universe{
		"universe 7":                             {7},
		"universes 7 and 8":                      {7, 8},
		"universes 7 to 9":                       {7, 8, 9},
		"universes 1, 3 and 5":                   {1, 3, 5},
		"universes 1, 3, 5, 7, 9, 11 and 4 more": {1, 3, 5, 7, 9, 11, 13, 14, 15, 20},
	} {
		require.Equal(t, want, named(us))
	}
}

// A stranger's name cannot take hold of the terminal.
func TestSentencesArePrintable(t *testing.T) {
	w := newWire(t)
	w.play(50, w.talker(1, "{u}Pi\x1b[31mer\u202e\u009b2J\r\nPC", pierHost, 3, 150))
	got := w.trk.Report(w.now).Sentences(ours)[0].Text
	require.True(t, strings.HasPrefix(got, "'{u}Pi[31mer2JPC' at 10.0.0.7 also drives universe 3 at"), got)
}
