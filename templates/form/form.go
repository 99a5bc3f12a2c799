package form

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// File is one file of a form: its path inside the case, with forward slashes, and its content.
type File struct {
	Path string
	Data []byte
}

// Set is a set of books that belong together, what they are for, and what to run when they are filled in.
type Set struct {
	Books []string
	Title string
	Then  string
}

// The sets of books: those of a case, and the book of a room that many cases share.
var (
	Case = Set{[]string{"spec", "lab"}, "Forms of an air cleaner audit", "weighhouse audit, followed by the name of this folder."}
	Room = Set{[]string{"room"}, "Form of a room book", "weighhouse room, followed by the path of this book. Each case of the room names the book in its test table, as room book."}
)

// setOf is the set that a book belongs to.
func setOf(book string) Set {
	if book == "room" {
		return Room
	}
	return Case
}

// Files makes the blank forms of a set: a workbook for each book, or with csv a folder for each and a README.txt. The
// bytes are the same at each call.
func Files(set Set, csv bool) ([]File, error) {
	if csv {
		return csvFiles(set)
	}
	var out []File
	for _, book := range set.Books {
		data, err := workbook(book)
		if err != nil {
			return nil, fmt.Errorf("%s.xlsx: %w", book, err)
		}
		out = append(out, File{book + ".xlsx", data})
	}
	return out, nil
}

// Write puts the blank forms into the folder dir, which is made if need be. It never writes over anything: where a book
// stands there already, in either form, nothing is written and the error names it. What a failed call had written is
// taken away again.
func Write(dir string, set Set, csv bool) error {
	files, err := Files(set, csv)
	if err != nil {
		return err
	}
	if err := vacant(dir, set, files); err != nil {
		return err
	}
	var made []string
	undo := func(err error) error {
		for i := len(made) - 1; i >= 0; i-- {
			os.Remove(made[i]) // a folder goes only if it is empty, which is what we want
		}
		return err
	}
	for _, f := range files {
		path := filepath.Join(dir, filepath.FromSlash(f.Path))
		folders, err := makeFolders(filepath.Dir(path))
		made = append(made, folders...)
		if err != nil {
			return undo(err)
		}
		out, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if err != nil {
			return undo(err)
		}
		made = append(made, path)
		_, err = out.Write(f.Data)
		if err := errors.Join(err, out.Close()); err != nil {
			return undo(fmt.Errorf("%s: %w", path, err))
		}
	}
	return nil
}

// vacant reports the files and books that stand in the way, all of them.
func vacant(dir string, set Set, files []File) error {
	var found []error
	seen := map[string]bool{}
	look := func(path string) {
		if _, err := os.Lstat(path); err == nil && !seen[path] {
			seen[path] = true
			found = append(found, fmt.Errorf("%s: stands there already, and forms never write over a file\n"+
				"  hint: name a new folder, or move it away", path))
		} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
			found = append(found, err)
		}
	}
	for _, book := range set.Books {
		look(filepath.Join(dir, book+".xlsx"))
		look(filepath.Join(dir, book))
	}
	for _, f := range files {
		if filepath.Dir(filepath.FromSlash(f.Path)) == "." {
			look(filepath.Join(dir, filepath.FromSlash(f.Path)))
		}
	}
	return errors.Join(found...)
}

// makeFolders makes a folder and its parents and returns those that were new, the outermost first.
func makeFolders(path string) ([]string, error) {
	var missing []string
	for p := path; ; p = filepath.Dir(p) {
		if _, err := os.Stat(p); err == nil || p == filepath.Dir(p) {
			break
		}
		missing = append([]string{p}, missing...)
	}
	for i, p := range missing {
		if err := os.Mkdir(p, 0o755); err != nil {
			return missing[:i], err
		}
	}
	return missing, nil
}
