package web

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
	"net/http"
	"path"
	"strings"
)

//go:embed static
var static embed.FS

// assets are the files that pages load, by the name they are served under: their
// own with a part of their hash in it, so that a browser may keep them for good.
type assets struct {
	address map[string]string // by own name
	content map[string][]byte // by served name
}

func loadAssets() assets {
	a := assets{make(map[string]string), make(map[string][]byte)}
	files, err := fs.ReadDir(static, "static")
	if err != nil {
		panic("web: " + err.Error())
	}
	for _, f := range files {
		b, err := static.ReadFile("static/" + f.Name())
		if err != nil {
			panic("web: " + err.Error())
		}
		sum := sha256.Sum256(b)
		ext := path.Ext(f.Name())
		served := strings.TrimSuffix(f.Name(), ext) + "." + hex.EncodeToString(sum[:6]) + ext
		a.address[f.Name()], a.content[served] = "/static/"+served, b
	}
	return a
}

// path returns the address of an asset, and panics if there is none: names are
// written in templates only.
func (a assets) path(name string) string {
	if a.address[name] == "" {
		panic("web: no asset " + name)
	}
	return a.address[name]
}

// assetTypes are not asked of the machine, which may say otherwise.
var assetTypes = map[string]string{
	".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".svg": "image/svg+xml",
}

// asset serves one.
func (s *Server) asset(w http.ResponseWriter, r *http.Request) error {
	name := r.PathValue("name")
	b, ok := s.assets.content[name]
	if !ok {
		return errNoPage
	}
	w.Header().Set("Content-Type", assetTypes[path.Ext(name)])
	w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	_, err := w.Write(b)
	return err
}
