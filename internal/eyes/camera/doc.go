// Package camera gets pictures for package eyes from a folder, a film, a network stream or a
// camera of this machine. It reads a folder itself; for the others it runs the program ffmpeg,
// which ends with the context. Only MayKeep, Keep and KeepPicture write to disk. No picture
// leaves the machine.
package camera
