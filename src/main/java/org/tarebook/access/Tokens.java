package org.tarebook.access;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.List;
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
   * @param actor who it is
   * @param role what the token may do
   */
  public record Shown(Actor actor, Role role) {}

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
    refuse(holder, end, now);
    return transactions.write(() -> store(holder, now, end, actor));
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
          masterVersion.bump();
          if (administered()) {
            return Optional.<Made>empty();
          }
          Instant now = clock.instant();
          Token.Holder holder =
              new Token.Holder("first-administrator", Actor.Kind.PERSON, Role.ADMIN, null);
          Made made = store(holder, now, now.plus(FIRST_ADMINISTRATOR), Actor.TAREBOOK);
          keep.accept(made);
          return Optional.of(made);
        });
  }

  /** Whoever shows this text now; absent if no token has it, or it is expired or revoked. */
  public Optional<Shown> find(String text) {
    return jdbc.sql(
            """
            select t.name, t.kind, t.role, s.code as station
            from access_token t left join station s on s.id = t.station_id
            where t.sha256 = ? and t.revoked_at is null and t.expires_at > ?
            """)
        .param(Secret.sha256(text))
        .param(SqlTime.of(clock.instant()))
        .query(
            (row, number) ->
                new Shown(
                    new Actor(
                        row.getString("name"),
                        Actor.Kind.valueOf(row.getString("kind")),
                        row.getString("station")),
                    Role.valueOf(row.getString("role"))))
        .optional();
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
