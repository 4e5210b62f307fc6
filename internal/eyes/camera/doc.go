// Package camera gets pictures for package eyes from a folder, a film, a stream on the
// network, or a camera of this machine. All but the folder are read by the program ffmpeg, a
// child process that ends with the context. Only MayKeep, Keep and KeepPicture write to disk,
// and no picture leaves the machine.
package camera
