package yard

import (
	"context"
	"database/sql"
	"errors"
	"math/bits"
	"strconv"
	"strings"
	"time"

	"github.com/jackc/pgx/v5/pgconn"
)

// dialect is in what SQLite and PostgreSQL differ.
type dialect struct {
	postgres bool
}

// words turns the statements of this package, written with ? and SQLite's
// types, into the dialect's.
func (d dialect) words(query string) string {
	if !d.postgres {
		return strings.ReplaceAll(query, " FOR UPDATE", "")
	}
	if !strings.Contains(query, "?") {
		return query
	}
	var b strings.Builder
	n := 0
	for _, part := range strings.SplitAfter(query, "?") {
		if head, found := strings.CutSuffix(part, "?"); found {
			n++
			b.WriteString(head + "$" + strconv.Itoa(n))
		} else {
			b.WriteString(part)
		}
	}
	return b.String()
}

// querier is a transaction, or a connection outside one.
type querier interface {
	ExecContext(ctx context.Context, query string, args ...any) (sql.Result, error)
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
}

// session runs statements.
type session struct {
	dialect
	ctx context.Context
	on  querier
}

func (s session) exec(query string, args ...any) error {
	_, err := s.on.ExecContext(s.ctx, s.words(query), args...)
	return err
}

// changed is exec, and says how many rows it met.
func (s session) changed(query string, args ...any) (int64, error) {
	r, err := s.on.ExecContext(s.ctx, s.words(query), args...)
	if err != nil {
		return 0, err
	}
	return r.RowsAffected()
}

// rows calls each for every row.
func (s session) rows(query string, args []any, each func(scan func(...any) error) error) error {
	r, err := s.on.QueryContext(s.ctx, s.words(query), args...)
	if err != nil {
		return err
	}
	defer r.Close()
	for r.Next() {
		if err := each(r.Scan); err != nil {
			return err
		}
	}
	return r.Err()
}

// row reads one row into to; ErrNotFound when there is none.
func (s session) row(query string, args []any, to ...any) error {
	found := false
	err := s.rows(query, args, func(scan func(...any) error) error {
		found = true
		return scan(to...)
	})
	if err == nil && !found {
		return ErrNotFound
	}
	return err
}

// among is rows for a query with a list in place of "(…)"; an empty list meets none. The
// list is filled up with its last to one of a few lengths: connections keep what they
// prepared, and would keep one for each length.
func (s session) among(query string, list []string, each func(scan func(...any) error) error) error {
	if len(list) == 0 {
		return nil
	}
	args := make([]any, 1<<bits.Len(uint(len(list)-1)))
	for i := range args {
		args[i] = list[min(i, len(list)-1)]
	}
	return s.rows(strings.Replace(query, "(…)", "(?"+strings.Repeat(", ?", len(args)-1)+")", 1), args, each)
}

// texts reads a column.
func (s session) texts(query string, args ...any) ([]string, error) {
	var all []string
	err := s.rows(query, args, func(scan func(...any) error) error {
		var t string
		err := scan(&t)
		all = append(all, t)
		return err
	})
	return all, err
}

// attempts is how often a transaction is begun again when another server was
// in its way.
const attempts = 8

// update runs do in a transaction: all of it is on disk when update returns
// without an error, or none.
func (y *Yard) update(ctx context.Context, do func(session) error) error {
	return y.again(ctx, func() error { return y.updateOnce(ctx, do) })
}

func (y *Yard) updateOnce(ctx context.Context, do func(session) error) (err error) {
	defer y.observed("write", time.Now(), &err)
	if err := y.fault("begin"); err != nil {
		return err
	}
	tx, err := y.writing.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer func() { _ = tx.Rollback() }()
	if err := do(session{y.dialect, ctx, tx}); err != nil {
		return err
	}
	if err := y.fault("commit"); err != nil {
		return err
	}
	if err := tx.Commit(); err != nil {
		return err
	}
	return y.fault("committed")
}

// inTheWay reports an error that another transaction caused and that beginning
// again can mend.
func inTheWay(err error) bool {
	var p *pgconn.PgError
	return errors.As(err, &p) && (p.Code == "40001" || p.Code == "40P01")
}

// view runs do on one unchanging state.
func (y *Yard) view(ctx context.Context, do func(session) error) (err error) {
	defer y.observed("read", time.Now(), &err)
	options := &sql.TxOptions{ReadOnly: true}
	if y.postgres {
		options.Isolation = sql.LevelRepeatableRead
	}
	tx, err := y.reading.BeginTx(ctx, options)
	if err != nil {
		return err
	}
	defer func() { _ = tx.Rollback() }()
	return do(session{y.dialect, ctx, tx})
}
