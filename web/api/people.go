package api

import (
	"context"

	"github.com/danielgtaylor/huma/v2"
)

// Me is who a token belongs to.
type Me struct {
	Name  string `json:"name" doc:"Empty where there are no accounts."`
	Scope string `json:"scope" enum:"read,write"`
}

// Runner is somebody whose logbook one may see.
type Runner struct {
	ID      string `json:"id"`
	Name    string `json:"name"`
	Home    string `json:"home" doc:"IANA name of the home time zone."`
	Role    string `json:"role" doc:"What one is to them: runner, guardian, coach or clinician; empty where there are no accounts."`
	Medical bool   `json:"medical" doc:"One sees what hurts."`
	Plan    bool   `json:"plan" doc:"One may brake the ramp."`
}

func (a *api) people(h huma.API) {
	get(a, h, "/me", "me", "Whose token it is", func(ctx context.Context, _ *struct{}) (*body[Me], error) {
		w := whoOf(ctx)
		return &body[Me]{Me{w.name, string(w.scope)}}, nil
	})
	get(a, h, "/runners", "runners", "Whose logbooks one may see", func(ctx context.Context, _ *struct{}) (*body[[]Runner], error) {
		all, err := a.Journal.Logbooks(ctx, whoOf(ctx).person)
		out := []Runner{}
		for _, r := range all {
			local := r.Role == "" // at the machine one may do everything
			out = append(out, Runner{string(r.ID), r.Name, r.Home, string(r.Role), r.Medical || local, r.Plan || local})
		}
		return &body[[]Runner]{out}, err
	})
}
