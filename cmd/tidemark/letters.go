package main

import (
	"cmp"
	"errors"
	"fmt"
	"net"
	"net/mail"
	"os"
	"strconv"
	"strings"
	"time"

	"tidemark/load"
	"tidemark/web"
	"tidemark/web/letter"
)

// mailFlags say where letters are handed in.
type mailFlags struct {
	Server       string          `name:"mail-server" placeholder:"HOST:PORT" env:"TIDEMARK_MAIL_SERVER" help:"The mail server that evening letters are handed to; without one none are sent."`
	From         string          `name:"mail-from" placeholder:"ADDRESS" env:"TIDEMARK_MAIL_FROM" help:"The address that letters are from."`
	Security     letter.Security `name:"mail-security" enum:"starttls,tls,none" default:"starttls" env:"TIDEMARK_MAIL_SECURITY" help:"How the way to the mail server is encrypted: starttls, tls from the first byte on, or none, to this machine alone."`
	User         string          `name:"mail-user" placeholder:"NAME" env:"TIDEMARK_MAIL_USER" help:"Who signs in at the mail server; nobody by default."`
	PasswordFile string          `name:"mail-password-file" type:"path" placeholder:"FILE" env:"TIDEMARK_MAIL_PASSWORD_FILE" help:"The file with the password for that, on one line."`
}

// mailServer is where letters are handed in; nil: nowhere.
func (f *mailFlags) mailServer() (*letter.Server, error) {
	if f.Server == "" {
		if f.From != "" || f.User != "" || f.PasswordFile != "" {
			return nil, f.wrong(errors.New("there is no mail server"), "as in --mail-server smtp.example.org:587")
		}
		return nil, nil
	}
	host, digits, err := net.SplitHostPort(f.Server)
	port, err2 := strconv.ParseUint(digits, 10, 16)
	if err != nil || err2 != nil || host == "" || port == 0 {
		return nil, f.wrong(fmt.Errorf("read mail server %q: want HOST:PORT", f.Server), "as in --mail-server smtp.example.org:587")
	}
	from, err := mail.ParseAddress(f.From)
	if err != nil {
		return nil, f.wrong(fmt.Errorf("read address %q that letters are from: want an address", f.From), "as in --mail-from logbook@example.org")
	}
	from.Name = cmp.Or(from.Name, "tidemark")
	if f.Security == letter.Plain && !web.Loopback(host) {
		return nil, f.wrong(fmt.Errorf("letters to %s could be read on the way", host), "--mail-security none is for a mail server on this machine")
	}
	s := &letter.Server{Host: host, Port: int(port), Security: f.Security, User: f.User, From: from}
	if f.Security == letter.Plain && f.User != "" {
		return nil, f.wrong(errors.New("a password is said on an encrypted way only"), "--mail-security starttls or tls, or no --mail-user")
	}
	if (f.User == "") != (f.PasswordFile == "") {
		return nil, f.wrong(errors.New("a name and a password belong together"), "give --mail-user and --mail-password-file, or neither")
	}
	if f.PasswordFile != "" {
		text, err := os.ReadFile(f.PasswordFile)
		if s.Password = strings.TrimSpace(string(text)); err != nil || s.Password == "" {
			return nil, f.wrong(cmp.Or(err, fmt.Errorf("read %s: it is empty", f.PasswordFile)), "one line with the password")
		}
	}
	return s, nil
}

func (*mailFlags) wrong(err error, hint string) error {
	return &failure{exitUse, fmt.Errorf("letters: %w", err), hint}
}

type lettersCommand struct {
	Test string `placeholder:"ADDRESS" help:"Send a letter there that says only that letters arrive."`

	mailFlags
}

func (*lettersCommand) examples() string {
	return `  tidemark letters
  tidemark letters --mail-server smtp.example.org:587 --mail-from logbook@example.org --test me@example.org`
}

// waitingLetters is what the command says of the journal.
type waitingLetters struct {
	People    int     `json:"people"`
	Since     *string `json:"since"`     // RFC 3339; null: none waits
	Reachable *bool   `json:"reachable"` // the mail server; null: none was named
}

// Run says for whom a letter waits, and tries the mail server if one is named.
func (c *lettersCommand) Run(a *app) error {
	server, err := c.mailServer()
	if err != nil {
		return err
	}
	if c.Test != "" {
		return c.test(a, server)
	}
	j, err := a.open(false)
	if err != nil {
		return err
	}
	defer j.Close()
	people, since, err := j.LettersWaiting(a.ctx)
	if err != nil {
		return a.journalFailure(err)
	}
	out := waitingLetters{People: people}
	text := "No letter waits."
	if people > 0 {
		at := since.Time().UTC().Format(time.RFC3339)
		out.Since, text = &at, fmt.Sprintf("For %s a letter waits, the oldest since %s.", countPeople(people), at)
	}
	var unreached error
	if server != nil {
		unreached = server.Check(a.ctx)
		is := unreached == nil
		if out.Reachable = &is; is {
			text += "\nThe mail server can be reached."
		}
	}
	if a.JSON {
		err = a.writeJSON(out)
	} else {
		_, err = fmt.Fprintln(a.out, text)
	}
	if unreached != nil {
		return &failure{exitRefused, fmt.Errorf("letters: %w", unreached), ""}
	}
	return err
}

func countPeople(n int) string {
	if n == 1 {
		return "1 person"
	}
	return fmt.Sprintf("%d people", n)
}

// test sends a letter that is about nobody.
func (c *lettersCommand) test(a *app, server *letter.Server) error {
	if server == nil {
		return c.wrong(errors.New("there is no mail server"), "as in --mail-server smtp.example.org:587")
	}
	at := a.now()
	fault := server.Send(a.ctx, &letter.Message{
		To: c.Test, Subject: "Letters arrive", Text: "This letter was sent to see whether letters arrive. It is about nobody.\n",
		ID: fmt.Sprintf("test-%d@%s", at.UnixNano(), server.Host), At: load.InstantOf(at),
	})
	if fault != nil {
		return &failure{exitRefused, fmt.Errorf("letters: %w", fault), ""}
	}
	_, err := fmt.Fprintf(a.out, "The mail server took a letter to %s.\n", c.Test)
	return err
}
