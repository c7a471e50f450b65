package main

import (
	"crypto/tls"
	"fmt"
	"log/slog"
	"os"
	"sync"
	"time"
)

// keyPair is a certificate and its key in files that are read again when they
// change, as they do every few weeks where they are renewed by a program.
type keyPair struct {
	cert, key string
	log       *slog.Logger

	mu   sync.Mutex
	pair *tls.Certificate
	seen [2]fileStamp // when pair was read, or could not be
}

// fileStamp tells a file from what was in its place before.
type fileStamp struct {
	size    int64
	changed time.Time
}

// newKeyPair reads the files, and fails if they are no pair.
func newKeyPair(cert, key string, log *slog.Logger) (*keyPair, error) {
	k := &keyPair{cert: cert, key: key, log: log}
	var err error
	if k.seen, err = k.stamps(); err != nil {
		return nil, fmt.Errorf("read certificate: %w", err)
	}
	return k, k.read()
}

func (k *keyPair) read() error {
	pair, err := tls.LoadX509KeyPair(k.cert, k.key)
	if err != nil {
		return fmt.Errorf("read certificate: %w", err)
	}
	k.pair = &pair
	return nil
}

func (k *keyPair) stamps() (out [2]fileStamp, err error) {
	for i, path := range []string{k.cert, k.key} {
		info, err := os.Stat(path)
		if err != nil {
			return out, err
		}
		out[i] = fileStamp{info.Size(), info.ModTime()}
	}
	return out, nil
}

// current is the pair in the files, or the last that was one: for a moment the
// certificate is new already and the key is not.
func (k *keyPair) current() *tls.Certificate {
	k.mu.Lock()
	defer k.mu.Unlock()
	now, err := k.stamps()
	if now == k.seen {
		return k.pair
	}
	if err == nil {
		err = k.read()
	}
	k.seen = now
	if err != nil {
		k.log.Warn("go on with the certificate of before", "error", err)
		return k.pair
	}
	k.log.Info("took the new certificate")
	return k.pair
}

// config is TLS 1.2 at least, as RFC 9325 (3.1.1) has it.
func (k *keyPair) config() *tls.Config {
	return &tls.Config{
		MinVersion: tls.VersionTLS12, NextProtos: []string{"h2", "http/1.1"},
		GetCertificate: func(*tls.ClientHelloInfo) (*tls.Certificate, error) { return k.current(), nil },
	}
}
