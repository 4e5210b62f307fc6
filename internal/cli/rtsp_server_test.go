package cli

import (
	"bufio"
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"io"
	"net"
	"strings"
	"sync"
	"testing"
	"time"
)

// serveRTSP sends pictures (JPEG of image/jpeg, at most 2040 camera pixels wide) as a
// phone does by RTSP (RFC 2326), each as RTP packets (RFC 2435) through the same
// connection (RFC 2326, 10.12), or through a pair of HTTP requests of which one carries what
// the client says in base64. It gives the address without its scheme. The
// stream ends where a picture is nil.
func serveRTSP(t testing.TB, picture func() []byte) (address string) {
	l, err := net.Listen("tcp4", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s := &rtspServer{picture: picture, tunnels: map[string]net.Conn{}}
	t.Cleanup(func() {
		_ = l.Close()
		s.mu.Lock()
		defer s.mu.Unlock()
		for _, c := range s.all {
			_ = c.Close()
		}
	})
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			s.mu.Lock()
			s.all = append(s.all, c)
			s.mu.Unlock()
			go s.serve(c)
		}
	}()
	return l.Addr().String() + "/shots"
}

type rtspServer struct {
	picture func() []byte

	mu      sync.Mutex
	all     []net.Conn
	tunnels map[string]net.Conn // where replies to a client behind HTTP go, by its cookie
}

// serve answers one connection.
func (s *rtspServer) serve(c net.Conn) {
	defer c.Close()
	in := bufio.NewReader(c)
	start, err := in.Peek(5)
	switch {
	case err != nil:
	case string(start[:4]) == "GET ":
		head := headOf(in)
		s.mu.Lock()
		s.tunnels[head["x-sessioncookie"]] = c
		s.mu.Unlock()
		fmt.Fprint(c, "HTTP/1.0 200 OK\r\nContent-Type: application/x-rtsp-tunnelled\r\n\r\n")
		_, _ = io.Copy(io.Discard, in)
	case string(start) == "POST ":
		head := headOf(in)
		s.mu.Lock()
		to := s.tunnels[head["x-sessioncookie"]]
		s.mu.Unlock()
		if to != nil {
			s.talk(bufio.NewReader(base64.NewDecoder(base64.StdEncoding, in)), to)
		}
	default:
		s.talk(in, c)
	}
}

// headOf reads the header fields of a request; the method has the key "".
func headOf(in *bufio.Reader) map[string]string {
	head := map[string]string{}
	for {
		line, err := in.ReadString('\n')
		line = strings.TrimSpace(line)
		if err != nil || line == "" {
			return head
		}
		name, value, ok := strings.Cut(line, ": ")
		if !ok {
			head[""], _, _ = strings.Cut(line, " ")
			continue
		}
		head[strings.ToLower(name)] = value
	}
}

// talk answers RTSP requests until PLAY, then sends the stream.
func (s *rtspServer) talk(in *bufio.Reader, out io.Writer) {
	for {
		head := headOf(in)
		body := ""
		more := ""
		switch head[""] {
		case "":
			return
		case "OPTIONS":
			more = "Public: OPTIONS, DESCRIBE, SETUP, PLAY, TEARDOWN\r\n"
		case "DESCRIBE": // payload type 26 is JPEG (RFC 3551, table 5)
			body = "v=0\r\no=- 1 1 IN IP4 127.0.0.1\r\ns=bench\r\nt=0 0\r\nm=video 0 RTP/AVP 26\r\na=control:track1\r\n"
			more = "Content-Type: application/sdp\r\n"
		case "SETUP":
			more = "Transport: RTP/AVP/TCP;unicast;interleaved=0-1\r\nSession: 1\r\n"
		}
		fmt.Fprintf(out, "RTSP/1.0 200 OK\r\nCSeq: %s\r\n%sContent-Length: %d\r\n\r\n%s", head["cseq"], more, len(body), body)
		if head[""] == "PLAY" {
			s.play(out)
			return
		}
	}
}

// play sends 20 pictures per second.
func (s *rtspServer) play(out io.Writer) {
	begin, sequence := time.Now(), uint16(0)
	for {
		b := s.picture()
		if b == nil {
			return
		}
		stamp := uint32(time.Since(begin).Seconds() * 90_000)
		for _, payload := range rtpJPEG(b) {
			last := payload.last
			head := []byte{'$', 0, 0, 0, 0x80, 26, 0, 0, 0, 0, 0, 0, 0, 0, 0, 7}
			if last {
				head[5] |= 0x80 // the marker: the picture ends here
			}
			binary.BigEndian.PutUint16(head[2:], uint16(12+len(payload.octets)))
			binary.BigEndian.PutUint16(head[6:], sequence)
			binary.BigEndian.PutUint32(head[8:], stamp)
			if _, err := out.Write(append(head, payload.octets...)); err != nil {
				return
			}
			sequence++
		}
		time.Sleep(50 * time.Millisecond)
	}
}

// A fragment is the payload of one RTP packet.
type fragment struct {
	octets []byte
	last   bool
}

// rtpJPEG cuts a JPEG picture of three components, 4:2:0, with the usual Huffman
// tables, into payloads (RFC 2435, 3.1): the first has the quantization tables.
func rtpJPEG(b []byte) (out []fragment) {
	var tables []byte
	var w, h int
	at := 2
	for {
		n := int(binary.BigEndian.Uint16(b[at+2:]))
		segment := b[at+4 : at+2+n]
		marker := b[at+1]
		at += 2 + n
		switch marker {
		case 0xDB: // ITU-T T.81, B.2.4.1: a table of 64 after each octet of its number
			for ; len(segment) >= 65; segment = segment[65:] {
				tables = append(tables, segment[1:65]...)
			}
		case 0xC0:
			h, w = int(binary.BigEndian.Uint16(segment[1:])), int(binary.BigEndian.Uint16(segment[3:]))
		}
		if marker == 0xDA {
			break
		}
	}
	scan := bytes.TrimSuffix(b[at:], []byte{0xFF, 0xD9})
	const most = 1400
	for offset := 0; offset < len(scan); {
		p := []byte{0, byte(offset >> 16), byte(offset >> 8), byte(offset), 1, 255, byte((w + 7) / 8), byte((h + 7) / 8)}
		if offset == 0 {
			p = append(p, 0, 0, byte(len(tables)>>8), byte(len(tables)))
			p = append(p, tables...)
		}
		n := min(most, len(scan)-offset)
		p = append(p, scan[offset:offset+n]...)
		offset += n
		out = append(out, fragment{p, offset == len(scan)})
	}
	return out
}
