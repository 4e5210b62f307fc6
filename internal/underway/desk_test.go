package underway

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
)

var then = time.Date(2026, 11, 25, 19, 30, 0, 0, time.UTC)

// desk is a Desk of a demo prop whose file is in a temporary folder.
func desk(t *testing.T) *Desk {
	t.Helper()
	path := filepath.Join(t.TempDir(), "porthole.toml")
	require.NoError(t, os.WriteFile(path, []byte(prop.DemoFile("porthole")), 0o644))
	return deskOf(path)
}

func deskOf(path string) *Desk {
	return NewDesk(Options{Prop: prop.Porthole(), Path: path, Version: "test", Now: func() time.Time { return then }})
}

// TestMain also runs as the process that holds a lock, for TestStaleLock.
func TestMain(m *testing.M) {
	if path := os.Getenv("UNDERWAY_TEST_HOLD"); path != "" {
		if _, err := acquire(path, "Porthole", then); err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		fmt.Println("held")
		time.Sleep(time.Minute)
	}
	os.Exit(m.Run())
}

// A second check-out of a prop is refused with an error that names the first. The lock
// file of a killed process does not prevent another check-out.
func TestStaleLock(t *testing.T) {
	d := desk(t)
	lock := lockPath(d.File())
	holder := exec.Command(os.Args[0])
	holder.Env = append(os.Environ(), "UNDERWAY_TEST_HOLD="+lock)
	out, err := holder.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, holder.Start())
	line := make([]byte, 5)
	_, err = out.Read(line)
	require.NoError(t, err)
	require.Equal(t, "held\n", string(line))

	want := fmt.Sprintf("Porthole is being checked already, by process %d, since 25 November 19:30: end that one first, or check another prop", holder.Process.Pid)
	assert.EqualError(t, d.Claim(), want)
	_, _, err = d.Begin(Part{}, 1)
	assert.EqualError(t, err, want)
	_, _, err = d.TakeUpTest(single.Flex, 1)
	assert.EqualError(t, err, want)

	require.NoError(t, holder.Process.Kill())
	_ = holder.Wait()
	require.FileExists(t, lock, "left behind")
	require.NoError(t, d.Claim())
	require.NoError(t, d.Claim(), "it is ours already")
	assert.Error(t, deskOf(d.Path()).Claim())
	d.Release()
	d.Release()
	assert.NoFileExists(t, lock)
	require.NoError(t, deskOf(d.Path()).Claim())
	ReleaseAll()
	assert.NoFileExists(t, lock)
}

// An older file, which holds one check-out without a list, can be resumed.
func TestOldFilesAreTakenUp(t *testing.T) {
	d := desk(t)
	s, err := checkout.New(prop.Porthole(), checkout.Options{})
	require.NoError(t, err)
	require.NoError(t, s.Answer(1))
	text := record.UnfinishedCheck{Log: s.Log(), At: then}
	require.NoError(t, record.WriteUnfinished(d.File(), []record.UnfinishedCheck{text}))
	raw, err := os.ReadFile(d.File())
	require.NoError(t, err)
	one := strings.TrimSuffix(strings.SplitN(string(raw), `"unfinished": [`, 2)[1], "]\n}\n")
	one = strings.TrimSpace(one)
	require.NoError(t, os.WriteFile(d.File(), []byte(strings.TrimSuffix(one, "]")), 0o644))
	c, note, err := d.TakeUp(Part{}, 1)
	require.NoError(t, err)
	assert.Equal(t, 1, c.Session.Answered())
	assert.Equal(t, "Taking up the check-out of 25 November 19:30 after 1 answer.", note)
	d.Release()
}

// A save that arrives late does not replace a newer one of the same part and test.
func TestLateSavesAreDropped(t *testing.T) {
	d := desk(t)
	u := func(test single.Kind, replies int) record.UnfinishedCheck {
		return record.UnfinishedCheck{Test: test, Replies: make([]single.Reply, replies), At: then}
	}
	require.NoError(t, d.Save(5, u(single.Flex, 2)))
	require.NoError(t, d.Save(4, u(single.Flex, 1)), "late")
	require.NoError(t, d.Save(3, u(single.Load, 7)), "another test")
	list, err := d.Kept()
	require.NoError(t, err)
	require.Len(t, list, 2)
	assert.Equal(t, 2, list[0].Answers())
	require.NoError(t, d.Forget(5, u(single.Flex, 0)))
	require.NoError(t, d.Save(5, u(single.Flex, 2)), "late again")
	list, err = d.Kept()
	require.NoError(t, err)
	require.Len(t, list, 1)
	assert.Equal(t, 7, list[0].Answers())
	require.NoError(t, d.Forget(9, u(single.Load, 0)))
	assert.NoFileExists(t, d.File())
}

// WhereKept is also right when the file is gone, older, or cannot be written.
func TestWhereKeptIsTrue(t *testing.T) {
	u := record.UnfinishedCheck{Test: single.Flex, Replies: make([]single.Reply, 2), At: then}
	d := desk(t)
	assert.Equal(t, "nothing was answered, so nothing is recorded", d.WhereKept(record.UnfinishedCheck{}))
	assert.Contains(t, d.WhereKept(u), "not on disk: "+d.File()+" is gone")
	require.NoError(t, d.Save(1, u))
	assert.Equal(t, "what was answered is kept in "+d.File()+", and the next check takes it up again", d.WhereKept(u))
	more := u
	more.Replies = make([]single.Reply, 3)
	assert.Contains(t, d.WhereKept(more), "not on disk")
	require.NoError(t, os.RemoveAll(filepath.Dir(d.File())))
	assert.Contains(t, d.WhereKept(u), "not on disk")
	require.Error(t, d.Save(2, more))
	assert.Contains(t, d.WhereKept(more), "not on disk: ")
	memory := NewDesk(Options{Prop: prop.Porthole()})
	require.NoError(t, memory.Save(1, u))
	assert.Equal(t, "what was answered is kept in memory only", memory.WhereKept(u))
	list, err := memory.Kept()
	require.NoError(t, err)
	assert.Len(t, list, 1)
}

// A full disk: /dev/full refuses every octet (Linux full(4)).
func TestFullDisk(t *testing.T) {
	if _, err := os.Stat("/dev/full"); err != nil {
		t.Skip("this system has no /dev/full")
	}
	d := desk(t)
	require.NoError(t, os.Symlink("/dev/full", d.File()))
	u := record.UnfinishedCheck{Test: single.Flex, Replies: make([]single.Reply, 2), At: then}
	err := d.Save(1, u)
	assert.Error(t, err)
	assert.NotContains(t, d.WhereKept(u), "is kept in")
}

func TestParts(t *testing.T) {
	p := prop.Porthole()
	seen := map[string]bool{}
	for _, pt := range append(Parts(p), Part{}) {
		sub, first, err := pt.Of(p)
		require.NoError(t, err)
		u := record.UnfinishedCheck{}
		pt.mark(&u)
		back, ok := PartOf(p, u)
		require.True(t, ok)
		assert.Equal(t, pt, back, "what is kept names the part")
		assert.False(t, seen[fmt.Sprint(u)])
		seen[fmt.Sprint(u)] = true
		switch pt.Way {
		case Whole:
			assert.Equal(t, p, sub)
		case Unbuilt:
			assert.Zero(t, first, "alone on the bench it is the first on the wire")
			assert.Equal(t, p.Runs[pt.Run()].Pixels, sub.Pixels())
		case Joined:
			assert.Equal(t, -1, pt.Run())
			assert.Contains(t, pt.Text(p), fmt.Sprintf("%d to %d", first+1, first+sub.Pixels()))
		}
	}
	_, ok := PartOf(p, record.UnfinishedCheck{Run: "moon", Alone: true})
	assert.False(t, ok)
	pt, err := Named(p, Unbuilt, "MIDDLE ring")
	require.NoError(t, err)
	assert.Equal(t, 1, pt.Run())
	_, err = Named(p, Unbuilt, "moon")
	assert.EqualError(t, err, `Porthole has no run "moon": give one of inner ring, middle ring, outer ring`)
	_, err = Named(p, Joined, "moon")
	assert.ErrorContains(t, err, `no run or part "moon"`)
}

// If this program receives its own unicast packets, no prop does, since a unicast
// datagram reaches one socket (udp(7)). Multicast packets reach every socket.
func TestOwnEchoIsNoProp(t *testing.T) {
	p := prop.Porthole()
	p.Address.Host = "127.0.0.1"
	ours := protocol.Ours{CID: protocol.CID{1}, Universes: []protocol.Universe{1}}
	heard := func(cid byte, u protocol.Universe, multicast bool) traffic.News {
		return traffic.News{Ours: ours, Report: &protocol.Report{Sources: []protocol.SourceReport{{CID: protocol.CID{cid}, Name: "pier",
			Streams: []protocol.StreamReport{{Universe: u, State: protocol.Live, Multicast: multicast}}}}}}
	}
	sending := []link.Status{{State: link.Sending}}
	_, absent := NetworkOf(p, sending, heard(1, 1, false)).Absent()
	assert.True(t, absent)
	for name, news := range map[string]traffic.News{"multicast": heard(1, 1, true), "another universe": heard(1, 2, false), "another source": heard(2, 1, false), "nothing": {}} {
		_, absent = NetworkOf(p, sending, news).Absent()
		assert.False(t, absent, name)
	}
	assert.Equal(t, "pier", NetworkOf(p, sending, heard(2, 1, false)).Rival)
	p.Address.Host = ""
	_, absent = NetworkOf(p, sending, heard(1, 1, false)).Absent()
	assert.False(t, absent, "to a group")
	why, _ := NetworkOf(p, []link.Status{{State: link.Refused, Target: link.Target{Host: "192.0.2.9"}}}, heard(1, 1, true)).Absent()
	assert.Contains(t, why, "no program listens at 192.0.2.9")
}
