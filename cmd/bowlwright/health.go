package main

import (
	"cmp"
	"context"
	"fmt"
	"net/http"
	"strings"
	"time"
)

// healthTimeout is how long a healthy program may take to say so; our own
// choice.
const healthTimeout = 3 * time.Second

// health asks a running program how it is, for a container that has nothing
// else to ask with. Without an address it asks at the one that serve has from
// the same variables.
func health(ctx context.Context, args []string, getenv func(string) string) error {
	f := newFlags("health")
	rest, err := anywhere(f, args)
	if err != nil {
		return err
	}
	url := cmp.Or(append(rest, getenv("BOWLWRIGHT_HEALTH"))...)
	if len(rest) > 1 || url == "" {
		return usageError{"health takes one address, as 127.0.0.1:8081, or BOWLWRIGHT_HEALTH"}
	}
	asked := url
	if !strings.Contains(url, "://") {
		url = "http://" + url + "/healthz"
	}
	ctx, cancel := context.WithTimeout(ctx, healthTimeout)
	defer cancel()
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, url, nil)
	if err != nil {
		return usageError{fmt.Sprintf("%q is no address to ask", asked)}
	}
	t := &http.Transport{DisableKeepAlives: true} // and no proxy
	resp, err := t.RoundTrip(r)
	if err != nil {
		return failure{fmt.Sprintf("not well: %v", err), err}
	}
	resp.Body.Close()
	if resp.StatusCode != http.StatusOK {
		return failure{"not well: " + resp.Status, nil}
	}
	return nil
}
