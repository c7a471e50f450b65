package web_test

import (
	"log/slog"
	"net/url"
	"strings"
	"testing"
	"time"

	"tidemark/ingest"
	"tidemark/load/journal"
	"tidemark/load/rehab"
	"tidemark/web"
)

// followed is a site with a run yesterday and a left Achilles tendon that is followed
// since the day before.
func followed(t *testing.T) *site {
	t.Helper()
	s := newSite(t)
	s.upload([2]string{"diary.csv", diary(map[int]float64{40: 8, 37: 8, 34: 8, 31: 8, 28: 8, 25: 8, 22: 8, 19: 8, 16: 8, 13: 8, 10: 8, 7: 8, 4: 8, 1: 5})})
	w := s.post(s.base()+"/hurts", url.Values{"site": {"ach-mid"}, "side": {"left"}, "onset": {(today - 30).String()}, "pain": {"1"}, "stiffness": {"5"}})
	if w.Code != 303 {
		t.Fatalf("status %d\n%s", w.Code, w.Body)
	}
	return s
}

// TestHurts opens, hands over and ends; what is wrong is said with what was typed.
func TestHurts(t *testing.T) {
	s := newSite(t)
	page := s.base() + "/hurts"
	if strings.Contains(s.get(s.base()), "first steps") {
		t.Error("mornings are asked about of nothing")
	}
	for _, bad := range []struct {
		form url.Values
		want string
	}{
		{url.Values{"site": {"ach-mid"}, "side": {"middle"}, "onset": {today.String()}, "note": {"the hill"}}, "Say on which side"},
		{url.Values{"site": {"knee"}, "side": {"left"}, "onset": {today.String()}, "note": {"the hill"}}, "Find site"},
		{url.Values{"site": {"ach-mid"}, "side": {"left"}, "onset": {(today + 1).String()}, "note": {"the hill"}}, "It began on"},
		{url.Values{"site": {"ach-mid"}, "side": {"left"}, "onset": {today.String()}, "pain": {"11"}, "note": {"the hill"}}, "want 0 to 10"},
		{url.Values{"site": {"ach-mid"}, "side": {"left"}, "onset": {today.String()}, "pain": {"much"}, "note": {"the hill"}}, "is a number"},
	} {
		w := s.post(page, bad.form)
		if w.Code != 422 {
			t.Errorf("%v: status %d", bad.form, w.Code)
		}
		wantIn(t, w.Body.String(), bad.want, `value="the hill"`)
	}
	both := url.Values{"site": {"ach-ins"}, "side": {"both"}, "onset": {today.String()}}
	if w := s.post(page, both); w.Code != 303 {
		t.Fatalf("status %d\n%s", w.Code, w.Body)
	}
	wantIn(t, s.get(page), "Left Achilles tendon at the heel", "Right Achilles tendon at the heel", "followed")
	if w := s.post(page, both); w.Code != 422 || !strings.Contains(w.Body.String(), "followed already") {
		t.Errorf("opened twice: %d", w.Code)
	}
	s.post(page+"/ach-ins-left", url.Values{"status": {"handed-over"}})
	wantIn(t, s.get(page), "handed over to you")
	s.post(page+"/ach-ins-left", url.Values{"status": {"closed"}, "why": {"quiet for a month"}})
	wantIn(t, s.get(page), "ended, quiet for a month")
	if w := s.post(page+"/ach-ins-left", url.Values{"status": {"closed"}}); w.Code != 409 {
		t.Errorf("ended twice: %d, want 409", w.Code)
	}
	if w := s.post(page+"/calf-left", url.Values{"status": {"closed"}}); w.Code != 404 {
		t.Errorf("what is none: %d, want 404", w.Code)
	}
}

// TestMorningTaps answers a morning and yesterday's run with four taps, and finds the
// verdict with its reason.
func TestMorningTaps(t *testing.T) {
	s := followed(t)
	wantIn(t, s.get(s.base()), "how were the first steps this morning?", `name="next" value="10"`, "2 rest days between runs", "No run within your limits today")
	tap := func(field, value string) {
		t.Helper()
		w := s.post(s.base()+"/mornings", url.Values{"complaint": {"ach-mid-left"}, "day": {today.String()}, "back": {"today"}, field: {value}})
		if w.Code != 303 || w.Header().Get("Location") != s.base() {
			t.Fatalf("%s: status %d to %q\n%s", field, w.Code, w.Header().Get("Location"), w.Body)
		}
	}
	tap("next", "1")
	wantIn(t, s.get(s.base()), "how long was it stiff?")
	tap("stiffness", "5")
	page := s.get(s.base())
	for _, gone := range []string{"first steps this morning", "how long was it stiff"} {
		if strings.Contains(page, gone) {
			t.Errorf("asked again: %s", gone)
		}
	}
	wantIn(t, page, `class="mark settled"`)
	wantIn(t, s.get(s.base()+"/mornings"), "Settled", "settled by what was said; not all was")
	w := s.post(s.base()+"/mornings", url.Values{"complaint": {"ach-mid-left"}, "day": {today.String()}, "next": {"4"}})
	if w.Code != 303 {
		t.Errorf("a correction: %d", w.Code)
	}
	wantIn(t, s.get(s.base()+"/mornings"), "Flared", "4 in the morning, and 1 is usual: 3 or more is a flare")
	wantIn(t, s.get(s.base()), "A morning that flared", "no run until a morning is as usual again", "Is one of the signs there that a doctor must see?")
}

// TestHappened: a sign stops the day until it is lifted with a reason, and all is kept.
func TestHappened(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"diary.csv", diary(map[int]float64{20: 8, 15: 8, 10: 8, 5: 8})})
	page := s.base() + "/happened"
	wantIn(t, s.get(page), "Is any of this so?", "A sudden snap or kick at the heel", "call the emergency number")
	if w := s.post(page, url.Values{"flag": {"rupture"}, "do": {"raise"}}); w.Code != 303 {
		t.Fatalf("status %d\n%s", w.Code, w.Body)
	}
	wantIn(t, s.get(s.base()), "No run within your limits today", "The red-flag limit decides", "Stop: A sign that is no matter of limits", "see a doctor the same day")
	wantIn(t, s.get(page), "What stands", "Maffulli 1998")
	if w := s.post(page, url.Values{"flag": {"rupture"}, "do": {"lift"}}); w.Code != 422 || !strings.Contains(w.Body.String(), "Say who has seen it") {
		t.Errorf("lifted without a reason: %d", w.Code)
	}
	if w := s.post(page, url.Values{"flag": {"mood"}}); w.Code != 422 {
		t.Errorf("a sign that is none: %d", w.Code)
	}
	s.post(page, url.Values{"flag": {"rupture"}, "do": {"lift"}, "why": {"seen in the clinic"}})
	wantIn(t, s.get(page), "lifted on 3 May 2026, seen in the clinic")
	wantIn(t, s.get(s.base()), "within your limits today")
	if w := s.post(page, url.Values{"flag": {"rupture"}, "do": {"lift"}, "why": {"again"}}); w.Code != 409 {
		t.Errorf("lifted twice: %d, want 409", w.Code)
	}
}

// TestMorningsBadInput: what cannot be is said, with what was typed.
func TestMorningsBadInput(t *testing.T) {
	s := followed(t)
	for _, bad := range []struct {
		form url.Values
		want []string
	}{
		{url.Values{"day": {today.String()}, "next": {"11"}}, []string{"A score is a whole number from 0", `value="11"`}},
		{url.Values{"day": {today.String()}, "next": {"2.5"}}, []string{"A score is a whole number", `value="2.5"`}},
		{url.Values{"day": {today.String()}, "next": {"1"}, "stiffness": {"900"}}, []string{"Stiffness is whole minutes", `value="900"`}},
		{url.Values{"day": {(today + 1).String()}, "next": {"1"}}, []string{"is still to come"}},
		{url.Values{"day": {(today + 3).String()}, "during": {"1"}}, []string{"is still to come"}},
		{url.Values{"day": {"soon"}, "next": {"1"}}, []string{"Say of which morning"}},
		{url.Values{"day": {today.String()}}, []string{"Nothing was said"}},
	} {
		bad.form.Set("complaint", "ach-mid-left")
		w := s.post(s.base()+"/mornings", bad.form)
		if w.Code != 422 {
			t.Errorf("%v: status %d", bad.form, w.Code)
		}
		wantIn(t, w.Body.String(), bad.want...)
	}
	if w := s.post(s.base()+"/mornings", url.Values{"complaint": {"calf-left"}, "day": {today.String()}, "next": {"1"}}); w.Code != 404 {
		t.Errorf("a complaint that is none: %d, want 404", w.Code)
	}
}

// TestTests keeps results, reads them against the noise of the test, and says what cannot be.
func TestTests(t *testing.T) {
	s := followed(t)
	page := s.base() + "/tests"
	add := func(form url.Values) int { return s.post(page, form).Code }
	if add(url.Values{"test": {"heel-rise"}, "day": {today.String()}, "left": {"18"}, "right": {"24"}}) != 303 ||
		add(url.Values{"test": {"heel-rise"}, "day": {(today - 30).String()}, "left": {"13"}, "right": {"24"}}) != 303 ||
		add(url.Values{"test": {"visa-a"}, "day": {(today - 30).String()}, "total": {"57"}}) != 303 ||
		add(url.Values{"test": {"visa-a"}, "day": {today.String()}, "total": {"71"}}) != 303 {
		t.Fatal("a result was refused")
	}
	// 18 of 24 are 75 %; 5 more lie within 6.2, 14 more of VISA-A are clear.
	wantIn(t, s.get(page), "left against right: 75", "left &#43;5: within what repeats differ by", "&#43;14: clear", "Hébert-Losier et al. 2017")
	for _, bad := range []struct {
		form url.Values
		want string
	}{
		{url.Values{"test": {"visa-a"}, "day": {today.String()}, "total": {"101"}, "note": {"stairs"}}, "want 0 to 100"},
		{url.Values{"test": {"heel-rise"}, "day": {today.String()}, "total": {"20"}, "note": {"stairs"}}, "want the left side"},
		{url.Values{"test": {"heel-rise"}, "day": {today.String()}, "left": {"many"}, "note": {"stairs"}}, "A result is a number"},
		{url.Values{"test": {"push-ups"}, "day": {today.String()}, "left": {"9"}, "note": {"stairs"}}, "there is none"},
		{url.Values{"test": {"visa-a"}, "day": {(today + 1).String()}, "total": {"60"}, "note": {"stairs"}}, "has not come yet"},
	} {
		w := s.post(page, bad.form)
		if w.Code != 422 {
			t.Errorf("%v: status %d", bad.form, w.Code)
		}
		wantIn(t, w.Body.String(), bad.want, `value="stairs"`)
	}
}

// TestCause: a morning that flared shows what lay in the three days before, what was new
// first, and claims nothing.
func TestCause(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"diary.csv", diary(map[int]float64{40: 8, 37: 8, 34: 8, 31: 8, 28: 8, 25: 8, 22: 8, 19: 8, 16: 8, 13: 8, 10: 8, 7: 8, 4: 8, 2: 12})})
	s.post(s.base()+"/hurts", url.Values{"site": {"ach-mid"}, "side": {"left"}, "onset": {(today - 30).String()}, "pain": {"1"}, "stiffness": {"5"}})
	if w := s.post(s.base()+"/mornings", url.Values{"complaint": {"ach-mid-left"}, "day": {today.String()}, "next": {"4"}}); w.Code != 303 {
		t.Fatalf("status %d\n%s", w.Code, w.Body)
	}
	for _, page := range []string{s.base(), s.base() + "/mornings"} {
		wantIn(t, s.get(page), "the three days before the flare of 3 May 2026", "New in them:", "Friday 1 May 2026: 12.0 km is 50 % over", "72 min, and at most 48 min in the two weeks before", "is not shown to have done it")
	}
	wantIn(t, s.get(s.base()+"/mornings"), "0 of the last 1 morning settled, 1 flared.")
}

// TestCorrection: what was said before is kept beside what is said now.
func TestCorrection(t *testing.T) {
	s := followed(t)
	for _, next := range []string{"1", "3"} {
		s.post(s.base()+"/mornings", url.Values{"complaint": {"ach-mid-left"}, "day": {today.String()}, "next": {next}})
	}
	wantIn(t, s.get(s.base()+"/mornings"), "Corrected", "3 May 2026: first steps 3, was 1")
}

// TestAskNew: four weeks after something was first followed, one line asks for new signs, and
// one tap answers it for four weeks more.
func TestAskNew(t *testing.T) {
	s := followed(t)
	if strings.Contains(s.get(s.base()), "that a doctor must see</a> new?") {
		t.Error("asked on the first day")
	}
	book, err := s.journal.Open(t.Context(), journal.Local, s.runner.ID)
	if err != nil {
		t.Fatal(err)
	}
	c := rehab.Complaint{Site: rehab.Calf, Onset: today - 28, Steps: []rehab.Step{{Day: today - 28, Status: rehab.Open}}}
	if _, err := book.OpenComplaint(t.Context(), c, []rehab.Side{rehab.Right}, ""); err != nil {
		t.Fatal(err)
	}
	wantIn(t, s.get(s.base()), "Since 5 April 2026: is any of the", "No, nothing")
	if w := s.post(s.base()+"/happened", url.Values{"flag": {"none"}}); w.Code != 303 {
		t.Fatalf("status %d\n%s", w.Code, w.Body)
	}
	if strings.Contains(s.get(s.base()), "that a doctor must see</a> new?") {
		t.Error("asked again on the same day")
	}
	wantIn(t, s.get(s.base()+"/happened"), "nothing new")
}

// TestEmergency: the number that the host has set stands wherever one is to be called.
func TestEmergency(t *testing.T) {
	s := newSite(t)
	s.server = web.New(web.Options{Journal: s.journal, Now: func() time.Time { return noon }, Log: slog.New(slog.DiscardHandler), Limits: ingest.DefaultLimits, Emergency: "112"})
	for _, page := range []string{"/happened", "/mornings", "/rehab", ""} {
		wantIn(t, s.get(s.base()+page), "call 112, the emergency number")
	}
}

// TestBothSides: of both sides of one a tap answers for both, and they can differ.
func TestBothSides(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"diary.csv", diary(map[int]float64{10: 8, 7: 8, 4: 8, 1: 5})})
	s.post(s.base()+"/hurts", url.Values{"site": {"ach-mid"}, "side": {"both"}, "onset": {(today - 30).String()}, "pain": {"1"}, "stiffness": {"5"}})
	page := s.get(s.base())
	wantIn(t, page, "Both sides, Achilles tendon: how were the first steps this morning?", "They differ", `name="complaint" value="ach-mid-left"`, `name="complaint" value="ach-mid-right"`)
	if n := strings.Count(page, `<button name="next" value="10">`); n != 1 {
		t.Errorf("asked %d times, want once for both", n)
	}
	both := url.Values{"complaint": {"ach-mid-left", "ach-mid-right"}, "day": {today.String()}, "next": {"1"}}
	if w := s.post(s.base()+"/mornings", both); w.Code != 303 {
		t.Fatalf("status %d\n%s", w.Code, w.Body)
	}
	s.post(s.base()+"/mornings", url.Values{"complaint": {"ach-mid-right"}, "day": {today.String()}, "stiffness": {"30"}})
	wantIn(t, s.get(s.base()), "Left Achilles tendon: how long was it stiff?")
	wantIn(t, s.get(s.base()+"/mornings"), "Settled", "Flared", "30 min stiff, above 25 (usual 5)")
}

// TestMorningRows: everything that was said of a morning stands in its row, a corrected limp
// among the corrections; a morning before there was anything is refused in words.
func TestMorningRows(t *testing.T) {
	s := followed(t)
	page := s.base() + "/mornings"
	say := func(day string, more ...string) (status int, body string) {
		v := url.Values{"complaint": {"ach-mid-left"}, "day": {day}}
		for i := 0; i < len(more); i += 2 {
			v.Set(more[i], more[i+1])
		}
		w := s.post(page, v)
		return w.Code, w.Body.String()
	}
	say(today.String(), "before", "3", "during", "2", "after", "1", "next", "1", "stiffness", "5", "limp", "yes")
	wantIn(t, s.get(page), `<th scope="col" class="n">before</th>`, `<td class="n">3</td><td class="n">2</td><td class="n">1</td><td>yes</td><td class="n">1</td>`, "you limped")
	say(today.String(), "limp", "no")
	wantIn(t, s.get(page), "limping no, was yes", `<td>no</td>`)
	for day, want := range map[string]string{"0001-01-01": "is before 1970", (today - 30 - 366).String(): "more than a year before it began"} {
		status, body := say(day, "next", "1")
		if status != 422 {
			t.Errorf("%s: status %d, want 422", day, status)
		}
		wantIn(t, body, want, `name="next" inputmode="numeric" autocomplete="off" size="3" value="1"`)
	}
}

// TestRelapse: a bone that hurts where a tendon did is another complaint, without a way back
// and without minutes; what is said of a relapse is shown.
func TestRelapse(t *testing.T) {
	s := climbing(t)
	page := s.base() + "/hurts"
	end := func(id, why string) int {
		return s.post(page+"/"+id, url.Values{"status": {"closed"}, "why": {why}}).Code
	}
	if got := end("ach-mid-left", strings.Repeat("x", 2001)); got != 422 {
		t.Errorf("a reason of 2001 bytes: %d, want 422", got)
	}
	end("ach-mid-left", "quiet")
	open := url.Values{"site": {"ach-mid"}, "side": {"left"}, "onset": {(today - 3).String()}, "pain": {"4"}}
	s.redirected(s.post(page, open), s.base()+"/happened")
	wantIn(t, s.get(page), "followed again, since 30 April 2026", "since 30 April 2026")
	s.post(s.base()+"/mornings", url.Values{"complaint": {"ach-mid-left"}, "day": {today.String()}, "next": {"4"}, "stiffness": {"5"}})
	wantIn(t, s.get(page), "usual in the morning: 4 of 10")

	open.Set("bone", "yes")
	s.redirected(s.post(page, open), s.base()+"/happened")
	wantIn(t, s.get(page), "Left Achilles tendon (bone)")
	const why = "a bone hurts: there is no plan for it here; see a doctor before you run"
	wantIn(t, s.get(s.base()), "No run within your limits today", why)
}

// TestFlareOfTheRun: 9 in today's run asks for the signs and lets only easy exercises stand,
// before the next morning.
func TestFlareOfTheRun(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"diary.csv", diary(map[int]float64{40: 8, 37: 8, 34: 8, 31: 8, 4: 5, 0: 5})})
	s.post(s.base()+"/hurts", url.Values{"site": {"ach-mid"}, "side": {"left"}, "onset": {(today - 30).String()}, "pain": {"1"}, "stiffness": {"5"}})
	s.post(s.base()+"/rehab/ach-mid-left/prescribe", url.Values{"programme": {"heavy-slow"}, "started": {today.String()}})
	if strings.Contains(s.get(s.base()), "It flared") {
		t.Error("it flared before anything was said")
	}
	s.post(s.base()+"/mornings", url.Values{"complaint": {"ach-mid-left"}, "day": {(today + 1).String()}, "during": {"9"}})
	wantIn(t, s.get(s.base()), "It flared. ", "It flared: only what loads little", "flared: no run until a morning is as usual again", "9 during the run, above 5")
}
