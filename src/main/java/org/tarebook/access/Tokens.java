package org.tarebook.access;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.Optional;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.data.domain.Limit;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.audit.Audit;
import org.tarebook.http.Faults;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.storage.MasterVersion;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.StartRefused;
import org.tarebook.storage.Transactions;

/** All tokens: made, shown to the service, listed, revoked. */
@Service
public class Tokens {

  /** The longest a token can be valid. */
  public static final Duration LONGEST = Duration.ofDays(730);

  /** Whose name the first token bears. */
  static final String FIRST_ADMINISTRATOR_NAME = "first-administrator";

  private static final Duration FIRST_ADMINISTRATOR = Duration.ofHours(24);

  private final TokenRepository repository;
  private final JdbcClient jdbc;
  private final Transactions transactions;
  private final MasterVersion masterVersion;
  private final Audit audit;
  private final Clock clock;
  private final Duration life;

  Tokens(
      TokenRepository repository,
      JdbcClient jdbc,
      Transactions transactions,
      MasterVersion masterVersion,
      Audit audit,
      Clock clock,
      @Value("${tarebook.token-life:P365D}") Duration life) {
    this.repository = repository;
    this.jdbc = jdbc;
    this.transactions = transactions;
    this.masterVersion = masterVersion;
    this.audit = audit;
    this.clock = clock;
    this.life = checkedLife(life);
  }

  /** The usual life, if it is one that a token may have. */
  static Duration checkedLife(Duration life) {
    if (life.isNegative() || life.isZero() || life.compareTo(LONGEST) > 0) {
      throw new StartRefused(
          "tarebook.token-life must be longer than 0 and at most P730D, was " + life + ".");
    }
    return life;
  }

  /**
   * A token just made.
   *
   * @param text what its holder shows; it cannot be had again
   */
  public record Made(Token token, String text) {}

  /**
   * Whoever shows a token that is taken.
   *
   * @param token the token's number
   * @param actor who it is
   * @param role what the token may do
   */
  public record Shown(long token, Actor actor, Role role) {}

  /**
   * What was found of a text that a request shows.
   *
   * @param token the token's number; absent if no token has this text
   * @param shown whoever shows it; absent if it is refused
   * @param refused why it is refused; absent if it is taken
   */
  record Seen(
      @Nullable Long token, @Nullable Shown shown, RefusedRequests.@Nullable Reason refused) {
    static final Seen UNKNOWN = new Seen(null, null, RefusedRequests.Reason.UNKNOWN);
  }

  /**
   * Makes a token.
   *
   * @param expiresAt when it is no longer taken; absent for the usual life
   * @throws Problem if the role does not fit the kind, a station is missing or too much, or the
   *     expiry is past or further than {@link #LONGEST} away
   */
  public Made make(Token.Holder holder, @Nullable Instant expiresAt, Actor actor) {
    Instant now = clock.instant();
    Instant end = expiresAt == null ? now.plus(life) : expiresAt.truncatedTo(ChronoUnit.MICROS);
    Token.Holder tidied =
        new Token.Holder(
            Name.tidied(holder.name()), holder.kind(), holder.role(), holder.stationId());
    refuse(tidied, end, now);
    return transactions.write(
        () -> {
          masterVersion.lock(); // one at a time, so that two cannot give one name away at once
          requireOwnName(tidied);
          return store(tidied, now, end, actor);
        });
  }

  /** A name stays with the person or thing it was given to, and is spelt in one way. */
  private void requireOwnName(Token.Holder holder) {
    List<Given> alike =
        jdbc
            .sql(
                """
                select distinct t.name, t.kind, t.station_id, s.code
                from access_token t left join station s on s.id = t.station_id
                """)
            .query(
                (row, number) ->
                    new Given(
                        row.getString("name"),
                        Actor.Kind.valueOf(row.getString("kind")),
                        row.getObject("station_id", Long.class),
                        row.getString("code")))
            .list()
            .stream()
            .filter(given -> Name.alike(given.name(), holder.name()))
            .toList();
    if (alike.isEmpty() || alike.stream().anyMatch(given -> given.is(holder))) {
      return;
    }
    Given given = alike.get(0);
    throw Problem.at(
        ProblemType.RULE_BROKEN,
        "/name",
        given.isOfTheSame(holder)
            ? "is written '" + given.name() + "' in the record; write it in the same way"
            : "belongs to the "
                + given.kind().name().toLowerCase(Locale.ROOT)
                + (given.station() == null
                    ? " '" + given.name() + "'"
                    : " '" + given.name() + "' of station " + given.station())
                + " and stays with it; choose another name");
  }

  /** Whom a name was given to. */
  private record Given(
      String name, Actor.Kind kind, @Nullable Long stationId, @Nullable String station) {
    boolean isOfTheSame(Token.Holder holder) {
      return kind == holder.kind() && Objects.equals(stationId, holder.stationId());
    }

    boolean is(Token.Holder holder) {
      return isOfTheSame(holder) && name.equals(holder.name());
    }
  }

  /**
   * Makes the token that the first real ones are made with, if there is no administrator. Of
   * several copies that start at once only one makes it: each waits for the same row.
   *
   * @param keep puts its text where a person can read it. It runs before the token is valid and
   *     while the other copies wait, so no token is valid whose text is lost.
   */
  Optional<Made> makeFirstAdministrator(Consumer<Made> keep) {
    if (administered()) {
      return Optional.empty();
    }
    return transactions.write(
        () -> {
          masterVersion.lock();
          if (administered()) {
            return Optional.<Made>empty();
          }
          Instant now = clock.instant();
          Token.Holder holder =
              new Token.Holder(FIRST_ADMINISTRATOR_NAME, Actor.Kind.PERSON, Role.ADMIN, null);
          Made made = store(holder, now, now.plus(FIRST_ADMINISTRATOR), Actor.TAREBOOK);
          keep.accept(made);
          return Optional.of(made);
        });
  }

  /** Whoever shows this text now; absent if no token has it, or it is expired or revoked. */
  public Optional<Shown> find(String text) {
    return Optional.ofNullable(see(Secret.sha256(text)).shown());
  }

  /** What is on record of a text, by its digest. */
  Seen see(String sha256) {
    Instant now = clock.instant();
    return jdbc.sql(
            """
            select t.id, t.name, t.kind, t.role, t.expires_at, t.revoked_at, s.code as station
            from access_token t left join station s on s.id = t.station_id
            where t.sha256 = ?
            """)
        .param(sha256)
        .query(
            (row, number) -> {
              long id = row.getLong("id");
              if (SqlTime.find(row, "revoked_at") != null) {
                return new Seen(id, null, RefusedRequests.Reason.REVOKED);
              }
              if (!SqlTime.get(row, "expires_at").isAfter(now)) {
                return new Seen(id, null, RefusedRequests.Reason.EXPIRED);
              }
              Actor actor =
                  new Actor(
                      row.getString("name"),
                      Actor.Kind.valueOf(row.getString("kind")),
                      row.getString("station"));
              return new Seen(id, new Shown(id, actor, Role.valueOf(row.getString("role"))), null);
            })
        .optional()
        .orElse(Seen.UNKNOWN);
  }

  /**
   * Revokes a token from this moment on; one that is revoked already stays as it is.
   *
   * @return whether it was still taken until now, and the token
   */
  Revoked revoke(long id, Actor actor) {
    return transactions.write(
        () -> {
          Token token =
              repository
                  .findById(id)
                  .orElseThrow(() -> Problem.notFound("token", Long.toString(id)));
          if (token.revokedAt() != null) {
            return new Revoked(false, token);
          }
          token.revoke(actor, clock.instant());
          Token stored = repository.saveAndFlush(token);
          audit.record(actor, "revoked", "token", Long.toString(id), Noted.of(stored));
          return new Revoked(true, stored);
        });
  }

  record Revoked(boolean now, Token token) {}

  /** Tokens behind an id, in the order they were made. */
  List<Token> behind(long id, int limit) {
    return repository.findByIdGreaterThanOrderById(id, Limit.of(limit));
  }

  private boolean administered() {
    return repository.existsByRoleAndRevokedAtIsNullAndExpiresAtAfter(Role.ADMIN, clock.instant());
  }

  private Made store(Token.Holder holder, Instant now, Instant end, Actor actor) {
    String text = Secret.draw();
    Token token =
        repository.saveAndFlush(new Token(holder, Secret.sha256(text), now, actor.name(), end));
    audit.record(actor, "created", "token", Long.toString(token.id()), Noted.of(token));
    return new Made(token, text);
  }

  private static void refuse(Token.Holder holder, Instant end, Instant now) {
    Faults faults = new Faults();
    faults.require(
        Name.legible(holder.name()),
        "/name",
        "must be written in one line of visible characters, without marks that change its direction");
    faults.require(
        !Name.reserved(holder.name()),
        "/name",
        "is a name of the service itself; choose another name");
    faults.require(
        holder.role().fits(holder.kind()),
        "/role",
        switch (holder.kind()) {
          case STATION -> "must be STATION for a station, which posts and nothing else";
          case PERSON -> "must be READER, QUALITY or ADMIN for a person";
          case SYSTEM -> "must be READER or STATION for a system; limits and tokens need a person";
        });
    boolean station = holder.kind() == Actor.Kind.STATION;
    faults.require(
        station == (holder.stationId() != null),
        "/station",
        station
            ? "must name the station that this token posts for"
            : "must be left out: only a token of kind STATION posts for one station");
    faults.require(end.isAfter(now), "/expiresAt", "must lie ahead; it is now " + now);
    faults.require(
        !end.isAfter(now.plus(LONGEST)),
        "/expiresAt",
        "must be at most 730 days ahead, so at the latest " + now.plus(LONGEST));
    faults.throwIfAny(ProblemType.RULE_BROKEN);
  }

  /** What the audit list keeps of a token. */
  private record Noted(
      String name,
      Actor.Kind kind,
      Role role,
      @Nullable Long stationId,
      Instant expiresAt,
      @Nullable Instant revokedAt) {
    static Noted of(Token token) {
      Token.Holder holder = token.holder();
      return new Noted(
          holder.name(),
          holder.kind(),
          holder.role(),
          holder.stationId(),
          token.expiresAt(),
          token.revokedAt());
    }
  }
}
