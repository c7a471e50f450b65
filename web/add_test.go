package web_test

import (
	"archive/zip"
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"html"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/ingest"
	"tidemark/web/api/wire"
)

// gpx is a run along a meridian in the open sea, one point in five seconds.
func gpx(start time.Time, minutes int) string {
	var b strings.Builder
	b.WriteString(`<?xml version="1.0"?><gpx version="1.1" creator="invented" xmlns="http://www.topografix.com/GPX/1/1"><trk><type>running</type><trkseg>`)
	for i := range minutes * 12 {
		// 15 m are 0.000135 degrees of latitude: 3 m/s.
		fmt.Fprintf(&b, `<trkpt lat="%.6f" lon="2.5"><ele>5</ele><time>%s</time></trkpt>`,
			56+0.000135*float64(i), start.Add(time.Duration(i)*5*time.Second).UTC().Format(time.RFC3339))
	}
	b.WriteString(`</trkseg></trk></gpx>`)
	return b.String()
}

func TestUpload(t *testing.T) {
	s := newSite(t)
	sunday, monday := gpx(noon.AddDate(0, 0, -7), 30), gpx(noon.AddDate(0, 0, -6), 20)
	w := s.upload(
		[2]string{"sunday.gpx", sunday},
		[2]string{"monday.gpx", monday[:len(monday)*2/3]}, // the copy broke off
		[2]string{"again.gpx", sunday},
		[2]string{"page.gpx", "<!doctype html><title>Not signed in</title>"},
		[2]string{`<img src=x onerror=alert(1)>.gpx`, "nothing of the kind"},
		[2]string{"empty.fit", ""},
	)
	if w.Code != http.StatusOK {
		t.Fatalf("status %d", w.Code)
	}
	page := w.Body.String()
	wantIn(t, page, `<span class="most">2</span> added, 1 already kept, 3 refused.`, "run of 26 April 2026, 5.4", "damaged: read as far as it goes", "&lt;img src=x onerror=alert(1)&gt;.gpx")
	wantNotIn(t, page, "<img")
	all := s.sessions()
	if len(all) != 2 {
		t.Fatalf("%d sessions, want 2", len(all))
	}
	wantIn(t, page, s.base()+"/runs/"+all[0].ID)

	again := s.upload([2]string{"sunday.gpx", sunday})
	wantIn(t, again.Body.String(), `<span class="most">0</span> added, 1 already kept, 0 refused.`)

	nothing := s.upload()
	if nothing.Code != http.StatusUnprocessableEntity {
		t.Errorf("no file: %d, want 422", nothing.Code)
	}
	wantIn(t, nothing.Body.String(), "No file was chosen.")
	if w := s.do(request("POST", s.base()+"/add", strings.NewReader("x"))); w.Code != http.StatusBadRequest {
		t.Errorf("no form: %d, want 400", w.Code)
	}
}

// told is a line that a script hears.
type told struct {
	File int
	wire.Imported
	Runs  []struct{ Text, Address string }
	More  int
	Error string
}

func lines(t *testing.T, body io.Reader) (out []told) {
	t.Helper()
	scan := bufio.NewScanner(body)
	for scan.Scan() {
		var line told
		if err := json.Unmarshal(scan.Bytes(), &line); err != nil {
			t.Fatalf("%s: %v", scan.Text(), err)
		}
		out = append(out, line)
	}
	return out
}

// A script hears of each file by its number, in the words of the import command.
func TestUploadLines(t *testing.T) {
	s := newSite(t)
	r := s.uploading(
		[2]string{"a.gpx", gpx(noon.AddDate(0, 0, -7), 30)},
		[2]string{"b.gpx", "<gpx></gpx>"},
		[2]string{"c.csv", diary(map[int]float64{3: 5, 5: 6})},
	)
	r.Header.Set("Accept", "application/x-ndjson")
	w := s.do(r)
	got := lines(t, w.Body)
	if len(got) != 3 {
		t.Fatalf("%d lines\n%s", len(got), w.Body)
	}
	for i, want := range []struct {
		outcome    string
		activities int
	}{{"added", 1}, {"refused", 0}, {"added", 2}} {
		if l := got[i]; l.File != i || l.Outcome != want.outcome || len(l.Activities) != want.activities {
			t.Errorf("line %d: %+v, want %s with %d activities", i, l, want.outcome, want.activities)
		}
	}
	if got[1].Reason == nil || *got[1].Reason == "" {
		t.Error("no reason is told for what was refused")
	}
	if runs := got[2].Runs; len(runs) != 2 || runs[0].Text != "run of 28 April 2026, 6.0 km" || !strings.HasPrefix(runs[0].Address, s.base()+"/runs/row-") {
		t.Errorf("the diary is told as %+v", runs)
	}
}

// One file over the limit is refused, and what comes after it is read.
func TestLargeFile(t *testing.T) {
	s := newSite(t)
	large := strings.Repeat(" ", int(ingest.DefaultLimits.Raw)+1)
	w := s.upload([2]string{"large.gpx", large}, [2]string{"small.gpx", gpx(noon.AddDate(0, 0, -7), 30)})
	wantIn(t, w.Body.String(), `<span class="most">1</span> added, 0 already kept, 1 refused.`, "over 64.0 MB")
}

// A tab that is closed in the middle leaves whole files behind or none.
func TestClosedTab(t *testing.T) {
	s := newSite(t)
	server := httptest.NewServer(s.server)
	defer server.Close()
	r := s.uploading([2]string{"a.gpx", gpx(noon.AddDate(0, 0, -7), 30)}, [2]string{"b.gpx", gpx(noon.AddDate(0, 0, -6), 30)})
	body, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	conn, err := net.Dial("tcp", server.Listener.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	fmt.Fprintf(conn, "POST %s/add HTTP/1.1\r\nHost: %s\r\nContent-Type: %s\r\nContent-Length: %d\r\n\r\n",
		s.base(), server.Listener.Addr(), r.Header.Get("Content-Type"), len(body))
	if _, err := conn.Write(body[:len(body)*3/4]); err != nil {
		t.Fatal(err)
	}
	conn.Close()
	server.Close() // waits for the handler
	// The first file may be kept; of the second, which a reader would take as
	// damaged, nothing is.
	if n := len(s.sessions()); n > 1 {
		t.Errorf("%d sessions of one whole file", n)
	}
	wantIn(t, s.upload([2]string{"b.gpx", gpx(noon.AddDate(0, 0, -6), 30)}).Body.String(), `<span class="most">1</span> added`)
}

// A form that breaks off says so, and keeps what had come whole.
func TestCutForm(t *testing.T) {
	s := newSite(t)
	whole := s.uploading([2]string{"a.gpx", gpx(noon.AddDate(0, 0, -7), 30)}, [2]string{"b.gpx", gpx(noon.AddDate(0, 0, -6), 30)})
	body, err := io.ReadAll(whole.Body)
	if err != nil {
		t.Fatal(err)
	}
	for _, accept := range []string{"text/html", "application/x-ndjson"} {
		r := request("POST", s.base()+"/add", bytes.NewReader(body[:len(body)*3/4]))
		r.Header.Set("Content-Type", whole.Header.Get("Content-Type"))
		r.Header.Set("Accept", accept)
		w := s.do(r)
		wantIn(t, w.Body.String(), "a.gpx", "The rest was not read")
		if accept == "text/html" && w.Code != http.StatusBadRequest {
			t.Errorf("status %d, want 400", w.Code)
		}
	}
	if n := len(s.sessions()); n != 1 {
		t.Errorf("%d sessions, want the one that came whole", n)
	}
}

// A body that comes piece by piece is read to its end.
func TestUploadInPieces(t *testing.T) {
	s := newSite(t)
	server := httptest.NewServer(s.server)
	defer server.Close()
	r := s.uploading([2]string{"a.gpx", gpx(noon.AddDate(0, 0, -7), 30)})
	body, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	slow, writer := io.Pipe()
	go func() {
		for len(body) > 0 {
			n := min(len(body), 4096)
			if _, err := writer.Write(body[:n]); err != nil {
				return
			}
			body = body[n:]
		}
		writer.Close()
	}()
	out, err := http.Post(server.URL+s.base()+"/add", r.Header.Get("Content-Type"), slow)
	if err != nil {
		t.Fatal(err)
	}
	defer out.Body.Close()
	page, err := io.ReadAll(out.Body)
	if err != nil {
		t.Fatal(err)
	}
	wantIn(t, string(page), `<span class="most">1</span> added`)
}

// A script hears of files while others are still on their way, and those arrive
// whole all the same.
func TestAnswersWhileFilesCome(t *testing.T) {
	s := newSite(t)
	server := httptest.NewServer(s.server)
	defer server.Close()
	var files [][2]string
	sums := make(map[string]bool)
	for i := range 75 {
		file := gpx(noon.AddDate(0, 0, -7-i), 10)
		files = append(files, [2]string{fmt.Sprintf("%02d.gpx", i), file})
		sums[fmt.Sprintf("%x", sha256.Sum256([]byte(file)))] = true
	}
	whole := s.uploading(files...)
	body, err := io.ReadAll(whole.Body)
	if err != nil {
		t.Fatal(err)
	}
	reader, writer := io.Pipe()
	r, err := http.NewRequest("POST", server.URL+s.base()+"/add", reader)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", whole.Header.Get("Content-Type"))
	r.Header.Set("Accept", "application/x-ndjson")
	r.ContentLength = int64(len(body))
	heard := make(chan struct{}) // the first answer is there
	go func() {
		last := len(body) * 9 / 10 // more than 64 files, which are committed at once
		if _, err := writer.Write(body[:last]); err == nil {
			<-heard
			_, _ = writer.Write(body[last:])
		}
		writer.Close()
	}()
	answer, err := http.DefaultClient.Do(r)
	close(heard)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	got := lines(t, answer.Body)
	for _, l := range got {
		if l.SHA256 == nil || !sums[*l.SHA256] || l.Outcome != "added" {
			t.Errorf("%s: %s with another content", l.Path, l.Outcome)
		}
	}
	if len(got) != len(files) {
		t.Errorf("%d of %d files were told", len(got), len(files))
	}
}

// More files than one form may hold are refused as too much, and those before
// them are told.
func TestTooManyFiles(t *testing.T) {
	s := newSite(t)
	files := make([][2]string, 10_001)
	for i := range files {
		files[i] = [2]string{"x.fit", ""}
	}
	w := s.upload(files...)
	if w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("status %d, want 413", w.Code)
	}
	wantIn(t, w.Body.String(), "The rest was not read: more than 10000 files at once.", "10000 refused")
}

// A diary of years is told by its first runs and the count of the others.
func TestManyRunsOfOneFile(t *testing.T) {
	s := newSite(t)
	page := s.upload([2]string{"diary.csv", diary(years(1))}).Body.String()
	wantIn(t, page, `<span class="most">1</span> added`, "; and 205 more") // 4 x 52 less 3
	if n := strings.Count(page, s.base()+"/runs/"); n != 3 {
		t.Errorf("%d runs are linked, want 3", n)
	}
}

// A body that stops coming is given up and said so, an upload and a form alike.
func TestBodyStops(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"a.gpx", gpx(noon.AddDate(0, 0, -7), 30)})
	const soon, late = 50 * time.Millisecond, time.Hour // the other of the two is to have no part in it
	server := httptest.NewServer(s.server)
	defer server.Close()
	for _, tt := range []struct {
		form, upload                time.Duration
		target, contentType, begins string
		status                      int
		text                        string
	}{
		{late, soon, "/add", "multipart/form-data; boundary=x", "--x\r\n", http.StatusBadRequest, "The rest was not read: nothing came"},
		{soon, late, "/runs/" + s.sessions()[0].ID, "application/x-www-form-urlencoded", "exertion=", http.StatusRequestTimeout, "The rest of the request did not come."},
	} {
		s.server.SetPatience(tt.form, tt.upload)
		conn, err := net.Dial("tcp", server.Listener.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		_ = conn.SetReadDeadline(time.Now().Add(10 * time.Second)) // an end to waiting, no measure
		fmt.Fprintf(conn, "POST %s%s HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\nContent-Type: %s\r\nContent-Length: 1000\r\n\r\n%s",
			s.base(), tt.target, tt.contentType, tt.begins)
		answer, err := io.ReadAll(conn)
		if err != nil {
			t.Fatal(err)
		}
		wantIn(t, string(answer), fmt.Sprintf("HTTP/1.1 %d ", tt.status), tt.text)
	}
}

// archive packs files, by name and content, and a zip of them in the zip.
func archive(t *testing.T, files ...[2]string) string {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, f := range files {
		part, err := w.Create(f[0])
		if err == nil {
			_, err = io.WriteString(part, f[1])
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// A zip of a zip, a run, a picture and what a system left; and a file after it.
func TestUploadArchive(t *testing.T) {
	s := newSite(t)
	inner := archive(t, [2]string{"deep/a.gpx", gpx(noon.AddDate(0, 0, -7), 30)}, [2]string{"b.gpx", gpx(noon.AddDate(0, 0, -6), 30)})
	whole := archive(t, [2]string{"2025.zip", inner}, [2]string{"走る.gpx", gpx(noon.AddDate(0, 0, -5), 30)},
		[2]string{"photo.jpg", "\xff\xd8\xff\xe0 a picture"}, [2]string{"__MACOSX/._c.gpx", "x"})
	before := spooledFiles(t)
	w := s.upload([2]string{"ten-years.zip", whole}, [2]string{"=after.gpx", gpx(noon.AddDate(0, 0, -4), 30)})
	page := w.Body.String()
	wantIn(t, page, `<span class="most">4</span> added, 0 already kept, 1 refused.`, "ten-years.zip!2025.zip!deep/a.gpx", "ten-years.zip!走る.gpx", "ten-years.zip!photo.jpg")
	if after := spooledFiles(t); after != before {
		t.Errorf("%d archives are left on disk, %d were there before", after, before)
	}
	_, link, ok := strings.Cut(page, `href="data:text/csv;charset=utf-8;base64,`)
	if !ok {
		t.Fatal("no report is offered")
	}
	text, err := base64.StdEncoding.DecodeString(html.UnescapeString(link[:strings.IndexByte(link, '"')]))
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil || len(rows) != 6 {
		t.Fatalf("%d rows, %v:\n%s", len(rows), err, text)
	}
	if diff := cmp.Diff(wire.ReportColumns, rows[0]); diff != "" {
		t.Errorf("columns (-want +got):\n%s", diff)
	}
	if last := rows[5]; last[0] != "'=after.gpx" || last[1] != "added" || last[2] != "2026-04-29" || last[4] != "running" {
		t.Errorf("the last row is %q", last)
	}
}

// A script hears how many pieces an archive has before it hears of them.
func TestUploadArchiveByScript(t *testing.T) {
	s := newSite(t)
	r := s.uploading([2]string{"a.zip", archive(t, [2]string{"a.gpx", gpx(noon.AddDate(0, 0, -7), 30)}, [2]string{"b.txt", "?"}, [2]string{"c.txt", "?"})})
	r.Header.Set("Accept", "application/x-ndjson")
	all := lines(t, s.do(r).Body)
	if len(all) != 4 || all[0].More != 2 || all[0].Path != "" {
		t.Fatalf("told %+v, want two more pieces and then three files", all)
	}
	if all[1].Outcome != "added" || all[2].Outcome != "refused" || all[1].File != 0 {
		t.Errorf("told %+v", all)
	}
}

// spooledFiles counts archives that were laid down and not taken away.
func spooledFiles(t *testing.T) int {
	t.Helper()
	left, err := filepath.Glob(filepath.Join(os.TempDir(), "tidemark-upload-*"))
	if err != nil {
		t.Fatal(err)
	}
	return len(left)
}
