package camera

import (
	"bufio"
	"cmp"
	"fmt"
	"image"
	_ "image/jpeg" // pictures of a folder
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/parallel"
)

// ReadScene reads the file scene.json in a folder.
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

// ReadFolder reads the kept picture of each look of a scene, and the single
// frames where they were kept.
func ReadFolder(folder string, s *eyes.Scene) (Take, error) {
	out := Take{Pictures: make([]eyes.Picture, len(s.Looks)), Clips: make([]eyes.Clip, len(s.Looks))}
	errs := make([]error, len(s.Looks))
	parallel.AtMost(atOnce, len(s.Looks), func(i int) {
		out.Pictures[i], out.Clips[i], errs[i] = readLook(folder, s.Looks[i])
	})
	if err := cmp.Or(errs...); err != nil {
		return Take{}, err
	}
	return out, nil
}

// readLook reads the picture of one look, and its single frames if kept.
func readLook(folder string, l eyes.Look) (eyes.Picture, eyes.Clip, error) {
	img, err := readImage(filepath.Join(folder, l.File))
	if err != nil {
		return eyes.Picture{}, eyes.Clip{}, err
	}
	pic := eyes.FromImage(img)
	if l.Clip == "" {
		return pic, eyes.Clip{}, nil
	}
	path := filepath.Join(folder, l.Clip)
	if img, err = readImage(path); err != nil {
		return pic, eyes.Clip{}, err
	}
	clip, ok := eyes.ClipOf(img, pic.W, pic.H)
	if !ok {
		return pic, clip, fmt.Errorf("%s does not hold frames of %s: leave \"frames\" of that look out of scene.json", path, l.File)
	}
	return pic, clip, nil
}

// largest is the most camera pixels that a picture may have.
const largest = 64 << 20

func readImage(path string) (image.Image, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("the picture of a look is missing: %w", err)
	}
	defer f.Close()
	head, _, err := image.DecodeConfig(bufio.NewReader(f))
	if err != nil {
		return nil, fmt.Errorf("%s is no JPEG or PNG picture: %w", path, err)
	}
	if head.Width*head.Height > largest {
		return nil, fmt.Errorf("%s is %d by %d: make the pictures smaller", path, head.Width, head.Height)
	}
	if _, err := f.Seek(0, 0); err != nil {
		return nil, err
	}
	img, _, err := image.Decode(bufio.NewReader(f))
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read: %w", path, err)
	}
	return img, nil
}

// MayKeep creates the folder if it does not exist. It refuses one that contains pictures.
func MayKeep(folder string) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return fmt.Errorf("pictures cannot be kept in %s: %w", folder, err)
	}
	if _, err := os.Stat(filepath.Join(folder, sceneName)); err == nil {
		return fmt.Errorf("the folder %s already has pictures: name another one", folder)
	}
	return nil
}

// sceneName is the file beside the pictures that describes the looks they show.
const sceneName = "scene.json"

// Keep writes the pictures and the scene into a folder and overwrites those of an earlier run.
func Keep(folder string, scene *eyes.Scene, take Take) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	s := *scene
	s.Looks = slices.Clone(s.Looks)
	for i, l := range s.Looks {
		if err := KeepPicture(filepath.Join(folder, l.File), take.Pictures[i]); err != nil {
			return err
		}
		if s.Looks[i].Clip = ""; i >= len(take.Clips) || len(take.Clips[i].Frames) < 2 {
			continue
		}
		s.Looks[i].Clip = strings.TrimSuffix(l.File, filepath.Ext(l.File)) + "-frames.png"
		if err := keepImage(filepath.Join(folder, s.Looks[i].Clip), take.Clips[i].Image()); err != nil {
			return err
		}
	}
	data, err := eyes.MarshalScene(&s)
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(folder, sceneName), append(data, '\n'), 0o644)
}

// KeepPicture writes one picture as PNG.
func KeepPicture(path string, p eyes.Picture) error { return keepImage(path, p.Image()) }

func keepImage(path string, img image.Image) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	w := bufio.NewWriter(f)
	err = png.Encode(w, img)
	if err == nil {
		err = w.Flush()
	}
	if closing := f.Close(); err == nil {
		err = closing
	}
	return err
}
