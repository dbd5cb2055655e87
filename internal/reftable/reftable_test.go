package reftable

import (
	"os"
	"path/filepath"
	"reflect"
	"testing"
)

func TestRows(t *testing.T) {
	file := filepath.Join(t.TempDir(), "x.csv")
	if err := os.WriteFile(file, []byte("# source: nobody\nid,value\na,\"1,5\"\n# more\nb,2\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	want := []map[string]string{{"id": "a", "value": "1,5"}, {"id": "b", "value": "2"}}
	if got := Rows(t, file); !reflect.DeepEqual(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}
