// Command generate writes the JSON Schemas and the field reference that are
// checked in beside the tables they are made from.
package main

import (
	"bytes"
	"log"
	"os"
	"path/filepath"

	"github.com/blockwright/blockwright/periodize/blockfile"
)

func main() {
	log.SetFlags(0)
	log.SetPrefix("generate: ")
	var fields bytes.Buffer
	for i, kind := range blockfile.Kinds() {
		schema, err := blockfile.Schema(kind)
		if err != nil {
			log.Fatal(err)
		}
		write(filepath.Join("schema", kind+".json"), schema)
		ref, err := blockfile.Reference(kind)
		if err != nil {
			log.Fatal(err)
		}
		if i > 0 {
			fields.WriteByte('\n')
		}
		fields.Write(ref)
	}
	write("FIELDS.md", fields.Bytes())
}

func write(name string, data []byte) {
	if err := os.WriteFile(name, data, 0o644); err != nil {
		log.Fatal(err)
	}
}
