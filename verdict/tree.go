package verdict

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
)

// readTree reads one JSON value as maps, lists, json.Numbers, texts, truth values and nil, and lists the paths of keys that
// an object has twice, which a reader would pass over in silence.
func readTree(data []byte) (tree any, twice []string, err error) {
	var whole json.RawMessage
	if err := json.Unmarshal(data, &whole); err != nil { // also where it is nested too deep, or more stands behind its end
		return nil, nil, err
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	r := treeReader{d: d}
	if tree, err = r.value(nil); err != nil {
		return nil, nil, err
	}
	return tree, r.twice, nil
}

type treeReader struct {
	d     *json.Decoder
	twice []string
}

func (r *treeReader) value(path []string) (any, error) {
	t, err := r.d.Token()
	if err != nil {
		return nil, err
	}
	switch t {
	case json.Delim('{'):
		out := map[string]any{}
		for r.d.More() {
			k, err := r.d.Token()
			if err != nil {
				return nil, err
			}
			key := k.(string)
			at := append(path[:len(path):len(path)], key)
			if _, ok := out[key]; ok {
				r.twice = append(r.twice, strings.Join(at, "."))
			}
			if out[key], err = r.value(at); err != nil {
				return nil, err
			}
		}
		_, err := r.d.Token()
		return out, err
	case json.Delim('['):
		out := []any{}
		for r.d.More() {
			v, err := r.value(append(path[:len(path):len(path)], fmt.Sprint(len(out)+1)))
			if err != nil {
				return nil, err
			}
			out = append(out, v)
		}
		_, err := r.d.Token()
		return out, err
	}
	return t, nil
}
