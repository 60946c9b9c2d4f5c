package yard

import (
	"context"
	"database/sql/driver"
	"strings"
)

// prepared makes connections of SQLite that keep the statements they have prepared: to
// prepare one takes longer than to run it. (pgx does so by itself.)
type prepared struct{ driver.Connector }

// maxPrepared bounds what a connection keeps: the statements of this package are fewer,
// but those with lists in them are many.
const maxPrepared = 200

func (p prepared) Connect(ctx context.Context) (driver.Conn, error) {
	c, err := p.Connector.Connect(ctx)
	if err != nil {
		return nil, err
	}
	return &preparedConn{c, map[string]driver.Stmt{}}, nil
}

// preparedConn is used by one goroutine at a time, as database/sql has it.
type preparedConn struct {
	driver.Conn
	idle map[string]driver.Stmt
}

// Unwrap returns the driver's own.
func (c *preparedConn) Unwrap() driver.Conn { return c.Conn }

func (c *preparedConn) BeginTx(ctx context.Context, o driver.TxOptions) (driver.Tx, error) {
	return c.Conn.(driver.ConnBeginTx).BeginTx(ctx, o)
}

func (c *preparedConn) PrepareContext(ctx context.Context, query string) (driver.Stmt, error) {
	return c.Conn.(driver.ConnPrepareContext).PrepareContext(ctx, query)
}

func (c *preparedConn) ResetSession(ctx context.Context) error {
	return c.Conn.(driver.SessionResetter).ResetSession(ctx)
}

func (c *preparedConn) IsValid() bool { return c.Conn.(driver.Validator).IsValid() }

// take returns a statement that nobody uses; nil for one that is not kept.
func (c *preparedConn) take(ctx context.Context, query string) (driver.Stmt, error) {
	if s := c.idle[query]; s != nil {
		delete(c.idle, query)
		return s, nil
	}
	word, _, _ := strings.Cut(strings.TrimSpace(query), " ")
	switch word {
	case "SELECT", "INSERT", "UPDATE", "DELETE":
		return c.PrepareContext(ctx, query)
	}
	return nil, nil
}

func (c *preparedConn) give(query string, s driver.Stmt, err error) {
	if err != nil || len(c.idle) >= maxPrepared || c.idle[query] != nil {
		_ = s.Close()
		return
	}
	c.idle[query] = s
}

func (c *preparedConn) ExecContext(ctx context.Context, query string, args []driver.NamedValue) (driver.Result, error) {
	s, err := c.take(ctx, query)
	if err != nil {
		return nil, err
	}
	if s == nil {
		return c.Conn.(driver.ExecerContext).ExecContext(ctx, query, args)
	}
	r, err := s.(driver.StmtExecContext).ExecContext(ctx, args)
	c.give(query, s, err)
	return r, err
}

func (c *preparedConn) QueryContext(ctx context.Context, query string, args []driver.NamedValue) (driver.Rows, error) {
	s, err := c.take(ctx, query)
	if err != nil {
		return nil, err
	}
	if s == nil {
		return c.Conn.(driver.QueryerContext).QueryContext(ctx, query, args)
	}
	r, err := s.(driver.StmtQueryContext).QueryContext(ctx, args)
	if err != nil {
		c.give(query, s, err)
		return nil, err
	}
	return &preparedRows{r, c, query, s}, nil
}

// Close closes what was prepared first.
func (c *preparedConn) Close() error {
	for _, s := range c.idle {
		_ = s.Close()
	}
	return c.Conn.Close()
}

// preparedRows give their statement back when they are closed.
type preparedRows struct {
	driver.Rows
	conn  *preparedConn
	query string
	stmt  driver.Stmt
}

func (r *preparedRows) Close() error {
	err := r.Rows.Close()
	if r.stmt != nil {
		r.conn.give(r.query, r.stmt, err)
		r.stmt = nil
	}
	return err
}
