package main

import (
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"sync"
	"time"

	"bowlwright/bot"
	"bowlwright/bot/delivery"
	"bowlwright/bot/read"
	"bowlwright/bot/scheduler"
	"bowlwright/bot/talk"
	"bowlwright/bot/telegram"
	"bowlwright/nutrition"
	"bowlwright/store"
	"bowlwright/store/bolt"
)

// Our own choices.
const (
	// An end takes 6 seconds where the platform hangs: the updates in hand are
	// finished, then what is on its way may arrive, then what these caused is
	// sent, and may arrive.
	finish     = 2500 * time.Millisecond
	grace      = time.Second
	flushing   = 1500 * time.Millisecond
	endTimeout = 7500 * time.Millisecond // from the signal to the exit, whatever happens
	// openingTimeout is for how long a database may not be there yet, as where both
	// are started together.
	openingTimeout = 30 * time.Second
	// keepEvents is for how long the ids of handled updates are kept. The
	// platform repeats an update for a day at most (Bot API documentation:
	// getUpdates), and may begin its numbers anew after a week of silence.
	keepEvents = 3 * 24 * time.Hour
)

// limits of sending are the platform's, but for tests.
var limits = delivery.PlatformLimits

// serve answers on the phone until ctx ends.
func serve(ctx context.Context, args []string, getenv func(string) string, stderr io.Writer) error {
	c, err := parseServe(args, getenv)
	log := newLog(c, stderr)
	if err == nil {
		for _, w := range c.warnings {
			log.Warn(w)
		}
		tuneMemory(getenv)
		err = serveAs(ctx, c, log)
	}
	if err != nil && c.json { // for who reads logs by program, also the last line is one
		log.Error("ended", "error", err.Error())
		return logged{err}
	}
	return err
}

func serveAs(ctx context.Context, c serveConfig, log *slog.Logger) error {
	s, err := openKeeper(ctx, c.place, log)
	if err != nil {
		return err
	}
	srv, err := newServer(c, s, log)
	if err != nil {
		s.Close()
		return err
	}
	return said(srv.run(ctx))
}

// openKeeper opens the store, and logs what there was to tell of it.
func openKeeper(ctx context.Context, p place, log *slog.Logger) (keeper, error) {
	if p.address != "" {
		for began := time.Now(); ; {
			s, err := openDatabase(ctx, p.address)
			switch {
			case err == nil:
				return s, nil
			case !store.IsLost(err) || time.Since(began) > openingTimeout:
				return nil, err
			}
			log.Warn("the database does not answer, and is tried again", "error", err)
			if !store.Pause(ctx, time.Second) {
				return nil, err
			}
		}
	}
	s, err := openStore(p.data, false)
	if err != nil {
		return nil, err
	}
	logFound(log, s.Found())
	return s, nil
}

// logFound tells what there was to tell of the data when it was opened.
func logFound(log *slog.Logger, found bolt.Found) {
	if found.From > 0 {
		log.Info("the data was brought to the form of this version", "schema", found.From, "from_log", found.Logged)
	}
	if found.Unclosed {
		log.Warn("the data was not closed, as after a crash; all of it was read and is sound", "transaction", found.Transaction, "households", found.Households, "unsent", found.Unsent)
	}
	switch {
	case found.Older && found.Unclosed:
		log.Error("the data may be older than it was: a damaged page hides the last change, if there was one", "transaction", found.Transaction)
	case found.Older:
		log.Error("the data "+olderThanItWas+"; nothing is missing", "transaction", found.Transaction)
	case found.Torn:
		log.Warn("a page that leads to the state before the last is damaged; nothing is missing, and the disk may be failing")
	}
}

func newLog(c serveConfig, w io.Writer) *slog.Logger {
	o := &slog.HandlerOptions{Level: c.level}
	if c.json {
		return slog.New(slog.NewJSONHandler(w, o))
	}
	return slog.New(slog.NewTextHandler(w, o))
}

// server is all that runs while the program serves.
type server struct {
	c        serveConfig
	log      *slog.Logger
	store    keeper
	bot      *talk.Assistant
	adapter  *telegram.Adapter
	delivery *delivery.Delivery
	metrics  *metrics
	hooks    net.Listener // of webhook calls; nil without
	health   net.Listener
}

func newServer(c serveConfig, s keeper, log *slog.Logger) (*server, error) {
	srv := &server{c: c, log: log, store: s}
	var err error
	if c.listen != "" {
		if srv.hooks, err = net.Listen("tcp", c.listen); err != nil {
			return nil, failure{"--listen " + c.listen + " cannot be used: is the address another program's?", err}
		}
	}
	if c.health != "" {
		if srv.health, err = net.Listen("tcp", c.health); err != nil {
			srv.closeListeners()
			return nil, failure{"--health " + c.health + " cannot be used: is the address another program's?", err}
		}
	}
	assistant := bot.NewAssistant(s, nutrition.Default())
	srv.bot = assistant
	assistant.MayPublish = srv.c.mayPublish
	if c.backupAt != nil {
		assistant.BackupsUntil = srv.c.backupsUntil
	}
	srv.metrics = newMetrics(s, log)
	assistant.Unheard = srv.metrics.Unheard
	srv.adapter, err = telegram.New(assistant, s, telegram.Options{
		Token: string(c.token), API: c.api, Allow: c.allow, Secret: secretOf(c.token), Log: log, Metrics: srv.metrics,
		Wake:  func(chat string) { srv.delivery.Wake(chat) },
		Aside: func(m store.Outgoing) { srv.delivery.Aside(m) },
		Move:  assistant.MoveChat, Groups: assistant, Finish: finish,
	})
	if err != nil {
		srv.closeListeners()
		return nil, inWords(err)
	}
	srv.metrics.watch(srv.adapter)
	srv.delivery = delivery.New(s, srv.adapter.Sender(), delivery.Options{
		Prefix: telegram.Prefix, Log: log, Metrics: srv.metrics, IsGroup: telegram.IsGroup, Moved: assistant.MoveChat, Grace: grace, Limits: &limits,
	})
	return srv, nil
}

// secretOf is what webhook calls carry: the same in every process that has the
// token, since the platform knows one.
func secretOf(token secret) string {
	m := hmac.New(sha256.New, []byte(token))
	m.Write([]byte("webhook"))
	return hex.EncodeToString(m.Sum(nil))
}

func (s *server) closeListeners() {
	for _, l := range []net.Listener{s.hooks, s.health} {
		if l != nil {
			l.Close()
		}
	}
}

// run serves until ctx ends or the adapter cannot go on, and closes the
// store. What does not come to an end within endTimeout is left: everything
// that matters is in the store.
func (s *server) run(ctx context.Context) error {
	s.log.Info("starting", "version", version(), "webhook", s.c.webhook != "", "allow", len(s.c.allow))
	read.Ready() // before the first message is sent: their pace is a matter of milliseconds
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	ended := make(chan error, 1)
	go func() { ended <- s.work(ctx) }()
	var err error
	select {
	case err = <-ended:
	case <-ctx.Done():
		s.log.Info("stopping")
		select {
		case err = <-ended:
		case <-time.After(endTimeout):
			s.log.Warn("not everything came to an end in time")
			return nil
		}
	}
	if closed := s.store.Close(); err == nil {
		err = closed
	}
	if err == nil {
		s.log.Info("stopped")
	}
	return inWords(err)
}

// work runs everything, then ends it in order: no more updates, what is in
// hand, the messages that this caused, the rest.
func (s *server) work(ctx context.Context) error {
	defer s.closeListeners()
	background, stopAll := context.WithCancel(context.WithoutCancel(ctx))
	defer stopAll()
	var side, sending sync.WaitGroup
	if s.health != nil {
		side.Go(func() { serveHTTP(background, s.health, s.metrics.handler(s.adapter, s.store)) })
	}
	hooksCtx, stopHooks := context.WithCancel(background)
	defer stopHooks()
	if s.hooks != nil {
		side.Go(func() { serveHTTP(hooksCtx, s.hooks, s.webhook()) })
	}
	side.Go(func() {
		s.store.Lead(background, "jobs", func(ctx context.Context) {
			s.metrics.leads.Store(true) // of several processes one measures the store, so that their figures add up
			defer s.metrics.leads.Store(false)
			runJobs(ctx, s.jobs(), s.log, s.metrics.jobDone)
		})
	})
	if file, ok := s.store.(*bolt.Store); ok {
		stopSharing, err := share(file)
		if err != nil {
			s.log.Warn("no backup can be made while this runs", "error", err)
		}
		side.Go(func() { <-background.Done(); stopSharing() })
	}
	// One process sends, so that the platform's limits hold for all of them.
	sendCtx, stopSending := context.WithCancel(background)
	defer stopSending()
	var sendErr error
	sending.Go(func() {
		led := s.store.Lead(sendCtx, "send", func(ctx context.Context) {
			sendErr = s.delivery.Run(ctx)
			if sendCtx.Err() != nil { // else another sends the rest
				sendErr = errors.Join(sendErr, s.flush(background))
			}
		})
		if sendCtx.Err() == nil {
			sendErr = errors.Join(sendErr, led)
		}
	})
	side.Go(func() { s.store.Hear(background, s.heard) })
	// What falls due is said as long as updates are answered, and is in the
	// outbox before the delivery comes to its end.
	dueCtx, stopDue := context.WithCancel(background)
	defer stopDue()
	due := make(chan struct{})
	go func() {
		defer close(due)
		scheduler.Run(dueCtx, s.bot, scheduler.Options{Log: s.log, Metrics: s.metrics})
	}()

	var err error
	if s.c.webhook != "" {
		err = s.adapter.RunWebhook(ctx, s.c.webhook)
	} else {
		err = s.adapter.Run(ctx)
	}
	stopHooks()
	stopDue()
	<-due
	stopSending()
	sending.Wait()
	stopAll()
	side.Wait()
	if err == nil {
		err = sendErr
	}
	return err
}

// flush sends what can still be sent.
func (s *server) flush(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(ctx, flushing)
	defer cancel()
	if err := s.delivery.Flush(ctx); err != nil && ctx.Err() == nil {
		return err
	}
	return nil
}

// heard is told by the store what is left to do.
func (s *server) heard(chat string) {
	if chat == "" {
		s.adapter.Draw()
		return
	}
	s.delivery.Wake(chat)
}

// webhook takes the platform's calls at the path of the address that it was
// given.
func (s *server) webhook() http.Handler {
	path := "/"
	if u, err := url.Parse(s.c.webhook); err == nil && u.Path != "" {
		path = u.Path
	}
	hook := s.adapter.Webhook()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path != path {
			http.NotFound(w, r)
			return
		}
		hook.ServeHTTP(w, r)
	})
}

// serveHTTP serves until ctx ends. Its times are our own choices; they keep
// clients that say nothing from holding connections.
func serveHTTP(ctx context.Context, l net.Listener, h http.Handler) {
	srv := &http.Server{Handler: h, ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 10 * time.Second,
		WriteTimeout: 20 * time.Second, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 1 << 16,
		ErrorLog: slog.NewLogLogger(slog.DiscardHandler, slog.LevelError)}
	defer context.AfterFunc(ctx, func() {
		late, cancel := context.WithTimeout(context.Background(), grace)
		defer cancel()
		if srv.Shutdown(late) != nil {
			srv.Close() // nothing more can be done
		}
	})()
	srv.Serve(l) // ends with ctx
}

// inWords puts an error of the adapter into words for the person at the
// terminal.
func inWords(err error) error {
	if errors.Is(err, telegram.ErrToken) {
		return failure{"Telegram does not know this token. Check BOWLWRIGHT_TOKEN or the token file; @BotFather shows it with /mybots.", err}
	}
	var refused *telegram.RefusedError
	if errors.As(err, &refused) {
		return failure{"Telegram refuses " + refused.Method + ": " + refused.Said, err}
	}
	return said(err)
}
