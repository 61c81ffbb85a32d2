-- runs-with: 1
--
-- A table for each kind of record. Names are bytea: they sort as in every other
-- store, byte by byte, and may hold what text may not. So do times, which are as
-- exact as Go's (store.TimeKey). Records are json, which is kept as it was
-- written; the columns beside them are what queries look for.

CREATE TABLE seen (
    event bytea PRIMARY KEY CHECK (event <> ''),
    at    bytea NOT NULL
);
CREATE INDEX seen_at ON seen (at, event);

CREATE TABLE households (
    id     bytea PRIMARY KEY CHECK (id <> ''),
    rev    bigint NOT NULL,
    record json NOT NULL
);

CREATE TABLE changes (
    household bytea NOT NULL,
    n         bigint GENERATED ALWAYS AS IDENTITY,
    record    json NOT NULL,
    PRIMARY KEY (household, n)
);

CREATE TABLE members (
    chat      bytea NOT NULL,
    person    bytea NOT NULL,
    household bytea NOT NULL,
    PRIMARY KEY (chat, person)
);
CREATE INDEX members_of ON members (household);

CREATE TABLE invites (
    key       bytea PRIMARY KEY CHECK (key <> ''),
    household bytea NOT NULL,
    record    json NOT NULL
);
CREATE INDEX invites_of ON invites (household, key);

CREATE TABLE endings (
    household bytea PRIMARY KEY CHECK (household <> ''),
    at        bytea NOT NULL
);

CREATE TABLE journal (
    household bytea NOT NULL,
    id        bytea NOT NULL CHECK (id <> ''),
    kind      bytea NOT NULL,
    dog       bytea NOT NULL,
    at        bytea NOT NULL,
    record    json NOT NULL,
    PRIMARY KEY (household, id)
);
CREATE INDEX journal_at ON journal (household, at, id);
CREATE INDEX journal_kind ON journal (household, kind, at, id);

CREATE TABLE due (
    household bytea PRIMARY KEY CHECK (household <> ''),
    at        bytea, -- null: nothing is due, but it is known through when all was said
    record    json NOT NULL
);
CREATE INDEX due_at ON due (at, household) WHERE at IS NOT NULL;

CREATE TABLE published (
    token     bytea PRIMARY KEY CHECK (token <> ''),
    household bytea NOT NULL,
    record    json NOT NULL
);
CREATE INDEX published_of ON published (household, token);

CREATE TABLE readers (
    token     bytea NOT NULL CHECK (token <> ''),
    household bytea NOT NULL CHECK (household <> ''),
    record    json NOT NULL,
    PRIMARY KEY (token, household)
);
CREATE INDEX reading ON readers (household, token);

CREATE TABLE dialogues (
    chat   bytea NOT NULL,
    person bytea NOT NULL,
    record json NOT NULL,
    PRIMARY KEY (chat, person)
);

CREATE TABLE adapters (
    chat  bytea PRIMARY KEY,
    notes bytea NOT NULL
);

CREATE SEQUENCE outbox_number;
CREATE TABLE outbox (
    number bigint PRIMARY KEY,
    chat   bytea NOT NULL,
    record json NOT NULL -- its number and chat are those of the columns
);
CREATE INDEX outbox_chat ON outbox (chat, number);

CREATE TABLE blocked (
    chat  bytea PRIMARY KEY,
    since bytea NOT NULL
);

CREATE TABLE dead (
    number bigint PRIMARY KEY,
    chat   bytea NOT NULL,
    record json NOT NULL
);
CREATE INDEX dead_chat ON dead (chat);

CREATE TABLE inbox (
    id   bigint PRIMARY KEY,
    chat bytea NOT NULL,
    body bytea NOT NULL
);
CREATE INDEX inbox_chat ON inbox (chat);

-- Who holds what, until when. A claim is void when its process is gone.
CREATE TABLE claims (
    kind    text NOT NULL,  -- due, outbox, inbox
    key     bytea NOT NULL, -- household, chat, number of an update
    chat    bytea NOT NULL, -- that an update is about
    holder  text NOT NULL,
    process int NOT NULL,
    until   timestamptz NOT NULL,
    PRIMARY KEY (kind, key)
);
CREATE INDEX claims_chat ON claims (chat) WHERE kind = 'inbox';
