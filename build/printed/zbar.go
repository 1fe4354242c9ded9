package printed

import (
	"encoding/xml"
	"errors"
	"fmt"
	"image"
	"os"
	"os/exec"
	"path/filepath"
)

// ZBar returns what zbarimg reads in each picture.
func ZBar(pictures []*image.Gray) ([][]string, error) {
	texts := make([][]string, len(pictures))
	if len(pictures) == 0 {
		return texts, nil
	}
	dir, err := os.MkdirTemp("", "loomwright-printed-")
	if err != nil {
		return nil, fmt.Errorf("printed: %w", err)
	}
	defer os.RemoveAll(dir)
	args := []string{"--xml", "-q", "-Sdisable", "-Sqrcode.enable"}
	at := map[string]int{}
	for i, p := range pictures {
		name := filepath.Join(dir, fmt.Sprintf("%05d.pgm", i))
		data := append(fmt.Appendf(nil, "P5\n%d %d\n255\n", p.Rect.Dx(), p.Rect.Dy()), p.Pix...)
		if err := os.WriteFile(name, data, 0o644); err != nil {
			return nil, fmt.Errorf("printed: %w", err)
		}
		at[name] = i
		args = append(args, name)
	}
	var none *exec.ExitError // with status 4 where a picture has no code
	out, err := exec.Command("zbarimg", args...).Output()
	if err != nil && !(errors.As(err, &none) && none.ExitCode() == 4) {
		return nil, fmt.Errorf("printed: zbarimg: %w; apt-get install zbar-tools", err)
	}
	var said struct {
		Sources []struct {
			Name    string `xml:"href,attr"`
			Indexes []struct {
				Symbols []struct {
					Data string `xml:"data"`
				} `xml:"symbol"`
			} `xml:"index"`
		} `xml:"source"`
	}
	if err := xml.Unmarshal(out, &said); err != nil {
		return nil, fmt.Errorf("printed: zbarimg: %w", err)
	}
	for _, s := range said.Sources {
		i, ok := at[s.Name]
		if !ok {
			return nil, fmt.Errorf("printed: zbarimg read %q, which it was not given", s.Name)
		}
		for _, index := range s.Indexes {
			for _, symbol := range index.Symbols {
				texts[i] = append(texts[i], symbol.Data)
			}
		}
	}
	return texts, nil
}
