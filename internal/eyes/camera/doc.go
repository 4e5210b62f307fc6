// Package camera fetches pictures for package eyes: of a folder, a film, a
// stream on the network, or a camera of this machine. All but the folder go
// through the program ffmpeg, which runs as a child process and is ended with
// the context. Nothing is written to disk but by Keep, and nothing leaves the
// machine.
package camera
