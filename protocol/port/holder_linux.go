package port

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// Holder names another program that has a UDP port on this machine, such as
// "lamp (process 4711)": /proc gives it for one's own processes, or for all to
// root (proc(5)). It is empty when the system does not name it.
func Holder(port uint16) string {
	inodes := map[string]bool{}
	for _, table := range []string{"/proc/net/udp", "/proc/net/udp6"} {
		socketsOn(table, port, inodes)
	}
	if len(inodes) == 0 {
		return ""
	}
	links, _ := filepath.Glob("/proc/[0-9]*/fd/*")
	for _, link := range links {
		to, err := os.Readlink(link)
		inode, isSocket := strings.CutPrefix(to, "socket:[")
		if err != nil || !isSocket || !inodes[strings.TrimSuffix(inode, "]")] {
			continue
		}
		pid := strings.Split(link, "/")[2]
		if pid == strconv.Itoa(os.Getpid()) {
			continue
		}
		if name, err := os.ReadFile("/proc/" + pid + "/comm"); err == nil {
			return fmt.Sprintf("%s (process %s)", strings.TrimSpace(string(name)), pid)
		}
	}
	return ""
}

// socketsOn collects the inodes of sockets bound to a port: of each line of
// proc(5)'s udp table the second column is the local address and port in hex,
// the tenth the inode.
func socketsOn(table string, port uint16, inodes map[string]bool) {
	f, err := os.Open(table)
	if err != nil {
		return
	}
	defer f.Close()
	suffix := fmt.Sprintf(":%04X", port)
	for lines := bufio.NewScanner(f); lines.Scan(); {
		cols := strings.Fields(lines.Text())
		if len(cols) > 9 && strings.HasSuffix(cols[1], suffix) && cols[9] != "0" {
			inodes[cols[9]] = true
		}
	}
}
