package load_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"tidemark/load"
)

func TestDwell(t *testing.T) {
	var d load.Dwell
	for _, at := range [][2]int{{150, 1000}, {140, 500}, {155, 250}, {150, 1}, {-1, 9}, {5000, 9}, {140, -3}} {
		d.Add(at[0], int64(at[1]))
	}
	got := map[int]int64{}
	d.Each(func(step int, ms int64) { got[step] = ms })
	if diff := cmp.Diff(map[int]int64{140: 500, 150: 1001, 155: 250}, got); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
	if d.Total() != 1751 {
		t.Errorf("total %d, want 1751", d.Total())
	}
}

// FuzzDwell reads any bytes, and what it takes comes back the same.
func FuzzDwell(f *testing.F) {
	var d load.Dwell
	d.Add(140, 5000)
	d.Add(150, 70_000)
	seed, _ := d.MarshalBinary()
	f.Add(seed)
	f.Add([]byte{})
	f.Add([]byte{0x80})
	f.Fuzz(func(t *testing.T, data []byte) {
		var d, again load.Dwell
		if err := d.UnmarshalBinary(data); err != nil {
			if d.Total() != 0 {
				t.Error("refused bytes left something")
			}
			return
		}
		out, err := d.MarshalBinary()
		if err != nil {
			t.Fatal(err)
		}
		if err := again.UnmarshalBinary(out); err != nil || !again.Equal(d) && d.Total() > 0 {
			t.Errorf("%x became %x: %v", data, out, err)
		}
	})
}
