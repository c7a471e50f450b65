package web

import (
	"net/http"

	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"

	"tidemark/web/api"
)

// compression is the level of gzip, of 9; project default.
const compression = 5

func (s *Server) routes() http.Handler {
	r := chi.NewRouter()
	r.Use(s.logged, s.measured, s.recovered, s.timely, s.knownHost, s.secured, s.sameOrigin, middleware.GetHead)
	r.Use(middleware.Compress(compression, "text/html", "text/css", "text/javascript", "text/csv", "image/svg+xml", "application/gpx+xml", "application/atom+xml"))
	r.NotFound(s.handle(func(http.ResponseWriter, *http.Request) error { return errNoPage }))
	r.MethodNotAllowed(s.handle(func(http.ResponseWriter, *http.Request) error { return errNoMethod }))

	r.Get("/static/{name}", s.handle(s.asset))
	r.With(small, s.paced, s.identified).Group(s.open)
	r.With(small, s.paced, s.identified, s.known).Group(func(r chi.Router) {
		r.Get("/", s.handle(s.home))
		r.Get("/runners", s.handle(s.runners))
		r.Get("/squad", s.handle(s.squad))
		r.Get("/caseload", s.handle(s.caseload))
		r.Get("/orders", s.handle(s.orders))
		r.Post("/orders", s.handle(s.giveOrders))
		r.Post("/r/{runner}/answer", s.handle(s.answerWait))
		r.Post("/squad", s.handle(s.putNote))
		r.Get("/r/{runner}/visit", s.runner(s.visitSheet))
		r.Get("/r/{runner}/visit.pdf", s.runner(s.visitPDF))
		r.Post("/r/{runner}/visit", s.treating(s.putVisit))
		r.Get("/r/{runner}/take-home", s.runner(s.takeHome))
		r.Get("/r/{runner}/take-home.pdf", s.runner(s.takeHomePDF))
		r.Get("/account", s.handle(s.account))
		r.Post("/account/password", s.handle(s.setPassword))
		r.Post("/account/second", s.handle(s.setSecond))
		r.Post("/account/sign-out", s.handle(s.signOutEverywhere))
		r.Post("/account/tokens", s.handle(s.makeToken))
		r.Post("/account/tokens/{hash}", s.handle(s.revokeToken))
		r.Post("/account/child", s.handle(s.keepChild))
		r.Get("/letters", s.handle(s.letters))
		r.Post("/letters", s.handle(s.setLetters))
		r.Post("/letters/address", s.handle(s.putAddress))
		r.Post("/letters/feed", s.handle(s.changeNews))
		r.Get("/r/{runner}/care", s.runner(s.care))
		r.Post("/r/{runner}/care", s.runner(s.changeCare))
		r.Post("/r/{runner}/care/invite", s.runner(s.inviteCare))
		r.Post("/r/{runner}/care/remove", s.runner(s.remove))
		r.Post("/r/{runner}/leave", s.runner(s.leave))
		r.Get("/r/{runner}", s.runner(s.today))
		r.Get("/r/{runner}/load", s.runner(s.load))
		r.Get("/r/{runner}/load.csv", s.runner(s.loadCSV))
		r.Get("/r/{runner}/runs", s.runner(s.runs))
		r.Get("/r/{runner}/runs.csv", s.runner(s.runsCSV))
		r.Get("/r/{runner}/runs/{id}", s.runner(s.run))
		r.Post("/r/{runner}/runs/{id}", s.runner(s.editRun))
		r.Post("/r/{runner}/runs/{id}/double", s.runner(s.switchDouble))
		r.Get("/r/{runner}/runs/{id}/original", s.runner(s.original))
		r.Get("/r/{runner}/runs/{id}/gpx", s.runner(s.runGPX))
		r.Post("/r/{runner}/findings/{id}", s.runner(s.answer))
		r.Get("/r/{runner}/gaps", s.recorder(s.gaps))
		r.Post("/r/{runner}/gaps", s.runner(s.answerGap))
		r.Post("/r/{runner}/newcomer", s.runner(s.answerNewcomer))
		r.Get("/r/{runner}/set-up", s.treating(s.setUp))
		r.Post("/r/{runner}/set-up", s.treating(s.keepSetUp))
		r.Get("/r/{runner}/hurts", s.runner(s.hurts))
		r.Post("/r/{runner}/hurts", s.runner(s.openHurt))
		r.Get("/r/{runner}/hurts/{id}", s.runner(s.hurt))
		r.Post("/r/{runner}/hurts/{id}", s.runner(s.stepHurt))
		r.Post("/r/{runner}/hurts/{id}/again", s.runner(s.followAgain))
		r.Post("/r/{runner}/hurts/{id}/usual", s.runner(s.sayUsual))
		r.Get("/r/{runner}/tests", s.runner(s.tests))
		r.Post("/r/{runner}/tests", s.runner(s.addTest))
		r.Get("/r/{runner}/happened", s.runner(s.happened))
		r.Post("/r/{runner}/happened", s.runner(s.sayHappened))
		r.Get("/r/{runner}/mornings", s.runner(s.mornings))
		r.Post("/r/{runner}/mornings", s.runner(s.addMorning))
		r.Get("/r/{runner}/rehab", s.runner(s.rehab))
		r.Post("/r/{runner}/rehab/away", s.runner(s.sayAway))
		r.Post("/r/{runner}/rehab/{complaint}/log", s.runner(s.logDone))
		r.Post("/r/{runner}/rehab/{complaint}/prescribe", s.runner(s.prescribe))
		r.Post("/r/{runner}/rehab/{complaint}/order", s.runner(s.giveOrder))
		r.Get("/r/{runner}/rehab/{complaint}/routine", s.treating(s.routine))
		r.Post("/r/{runner}/rehab/{complaint}/routine", s.treating(s.buildRoutine))
		r.Get("/r/{runner}/ramp", s.runner(s.ramp))
		r.Post("/r/{runner}/ramp", s.runner(s.setRamp))
		r.Post("/r/{runner}/ramp/gate", s.runner(s.addGate))
		r.Post("/r/{runner}/ramp/state", s.runner(s.stepRamp))
		r.Post("/r/{runner}/ramp/feed", s.runner(s.changeFeed))
		r.Get("/r/{runner}/ramp/runs.ics", s.runner(s.rampCalendar))
		r.Get("/r/{runner}/ramp/{file}", s.runner(s.rampWorkout))
		r.Get("/r/{runner}/races", s.runner(s.races))
		r.Post("/r/{runner}/races", s.runner(s.planRace))
		r.Get("/r/{runner}/settings", s.runner(s.settings))
		r.Post("/r/{runner}/settings", s.runner(s.set))
		r.Get("/r/{runner}/add", s.recorder(s.add))
		r.Get("/r/{runner}/logbook.zip", s.runner(s.logbookZip))
	})
	r.With(s.identified, s.known).Post("/r/{runner}/add", s.recorder(s.upload))
	s.description = api.New(r, api.Options{
		Journal: s.Journal, Now: s.Now, Log: s.Log, Limits: s.Limits, Accounts: s.Accounts, Version: s.Version,
	})
	return r
}

// open are the pages for who has not signed in.
func (s *Server) open(r chi.Router) {
	r.Get("/rests-on", s.handle(s.restsOn))
	r.Get("/api/docs", s.handle(s.docs))
	r.Get("/sign-in", s.handle(s.askSignIn))
	r.Post("/sign-in", s.handle(s.signIn))
	r.Post("/sign-out", s.handle(s.signOut))
	r.Get("/invited/{secret}", s.handle(s.invited))
	r.Post("/invited/{secret}", s.handle(s.takeInvited))
	r.Get("/feed/{secret}", s.handle(s.feed))
	r.Get("/news/{secret}", s.handle(s.news))
	r.Get("/letters/stop/{secret}", s.handle(s.askStop))
	r.Post("/letters/stop/{secret}", s.handle(s.stop))
}
