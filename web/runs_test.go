package web_test

import (
	"regexp"
	"strings"
	"testing"
)

// Ten years are walked through page by page: every recording is listed once, and
// the way back leads to the first page.
func TestTenYears(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"diary.csv", diary(years(10))})
	all := s.sessions()
	wantIn(t, s.get(s.base()+"/load"), "within your limits today")
	wantIn(t, s.get(s.base()+"/load?from=2016-06-01&to=2017-05-31"), "Seven days against")

	link := regexp.MustCompile(`<a href="([^"]+)" rel="(next|prev)">`)
	run := regexp.MustCompile(`href="` + s.base() + `/runs/([^"]+)"`)
	listed := make(map[string]int)
	pages := 0
	for address := s.base() + "/runs"; address != ""; pages++ {
		page := s.get(address)
		for _, m := range run.FindAllStringSubmatch(page, -1) {
			listed[m[1]]++
		}
		address = ""
		for _, m := range link.FindAllStringSubmatch(page, -1) {
			if m[2] == "next" {
				address = m[1]
			}
		}
		if pages > len(all) {
			t.Fatal("the pages have no end")
		}
	}
	if len(listed) != len(all) || pages != (len(all)+99)/100 {
		t.Errorf("%d recordings on %d pages, there are %d", len(listed), pages, len(all))
	}
	for id, n := range listed {
		if n != 1 {
			t.Errorf("%s is listed %d times", id, n)
		}
	}
	second := link.FindStringSubmatch(s.get(s.base() + "/runs"))[1]
	if page := s.get(second); !strings.Contains(page, `<a href="`+s.base()+`/runs" rel="prev">newer</a>`) {
		t.Error("the second page does not lead back to the first")
	}
}
