package camera

import (
	"bufio"
	"fmt"
	"image"
	_ "image/jpeg" // pictures of a folder
	"image/png"
	"os"
	"path/filepath"
	"sync"

	"example.org/ringout/internal/eyes"
)

// ReadScene reads the scene.json of a folder.
func ReadScene(folder string) (*eyes.Scene, error) {
	data, err := os.ReadFile(filepath.Join(folder, sceneName))
	if err != nil {
		return nil, fmt.Errorf("the folder %s has no scene.json that can be read: %w", folder, err)
	}
	s, err := eyes.ParseScene(data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", folder, err)
	}
	return s, nil
}

// ReadFolder reads the picture of each look of a scene, two at a time.
func ReadFolder(folder string, s *eyes.Scene) ([]eyes.Picture, error) {
	out := make([]eyes.Picture, len(s.Looks))
	errs := make([]error, len(s.Looks))
	var wait sync.WaitGroup
	room := make(chan struct{}, 2)
	for i, l := range s.Looks {
		wait.Add(1)
		room <- struct{}{}
		go func() {
			defer wait.Done()
			out[i], errs[i] = readPicture(filepath.Join(folder, l.File))
			<-room
		}()
	}
	wait.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// largest is the most camera pixels of a picture that is read.
const largest = 64 << 20

func readPicture(path string) (eyes.Picture, error) {
	f, err := os.Open(path)
	if err != nil {
		return eyes.Picture{}, fmt.Errorf("the picture of a look is missing: %w", err)
	}
	defer f.Close()
	head, _, err := image.DecodeConfig(bufio.NewReader(f))
	if err != nil {
		return eyes.Picture{}, fmt.Errorf("%s is no JPEG or PNG picture: %w", path, err)
	}
	if head.Width*head.Height > largest {
		return eyes.Picture{}, fmt.Errorf("%s is %d by %d: make the pictures smaller", path, head.Width, head.Height)
	}
	if _, err := f.Seek(0, 0); err != nil {
		return eyes.Picture{}, err
	}
	img, _, err := image.Decode(bufio.NewReader(f))
	if err != nil {
		return eyes.Picture{}, fmt.Errorf("%s cannot be read: %w", path, err)
	}
	return eyes.FromImage(img), nil
}

// MayKeep refuses a folder that has pictures, and makes one that is not there.
func MayKeep(folder string) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return fmt.Errorf("pictures cannot be kept in %s: %w", folder, err)
	}
	if _, err := os.Stat(filepath.Join(folder, sceneName)); err == nil {
		return fmt.Errorf("the folder %s already has pictures: name another one", folder)
	}
	return nil
}

// sceneName is the file beside the pictures that says what they show.
const sceneName = "scene.json"

// Keep writes the pictures and the scene into a folder, over those of an
// earlier run, to be read again or sent to somebody.
func Keep(folder string, s *eyes.Scene, looks []eyes.Picture) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	data, err := eyes.MarshalScene(s)
	if err != nil {
		return err
	}
	for i, l := range s.Looks {
		if err := KeepPicture(filepath.Join(folder, l.File), looks[i]); err != nil {
			return err
		}
	}
	return os.WriteFile(filepath.Join(folder, sceneName), append(data, '\n'), 0o644)
}

// KeepPicture writes one picture as PNG.
func KeepPicture(path string, p eyes.Picture) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	w := bufio.NewWriter(f)
	err = png.Encode(w, p.Image())
	if err == nil {
		err = w.Flush()
	}
	if closing := f.Close(); err == nil {
		err = closing
	}
	return err
}
