create table program (
    id integer primary key,
    name text not null,
    sha256 text not null,
    bytes bigint not null,
    lines bigint not null,
    added_at_ms bigint not null,
    unique (sha256, name)
);
create table text_part (
    sha256 text not null,
    part bigint not null,
    content blob not null,
    primary key (sha256, part)
);
