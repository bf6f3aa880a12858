package org.tarebook.plant;

import io.swagger.v3.oas.annotations.media.Schema;
import java.io.ByteArrayInputStream;
import java.io.InputStream;
import java.time.Clock;
import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import org.springframework.data.domain.Limit;
import org.springframework.http.ResponseEntity;
import org.springframework.stereotype.Component;
import org.tarebook.audit.Actor;
import org.tarebook.audit.Audit;
import org.tarebook.http.Bodies;
import org.tarebook.http.Cursor;
import org.tarebook.http.IfMatch;
import org.tarebook.http.Page;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.storage.MasterVersion;
import org.tarebook.storage.Transactions;

/**
 * All things of one kind that have a code: found, recorded one by one or in bulk, changed under
 * their ETag, retired. Every change is audited and makes copies of the service look again.
 *
 * @param <T> the kind of thing
 */
public class Register<T extends Coded> {

  private final String word;
  private final CodedRepository<T> repository;
  private final Tools tools;

  /** What every register works with. */
  @Component
  public record Tools(
      Audit audit,
      MasterVersion masterVersion,
      Transactions transactions,
      Bodies bodies,
      Clock clock) {}

  /**
   * A register.
   *
   * @param word what one thing is called, for messages and the audit list
   */
  public Register(String word, CodedRepository<T> repository, Tools tools) {
    this.word = word;
    this.repository = repository;
    this.tools = tools;
  }

  /** The thing with this code, if there is one. */
  public Optional<T> find(String code) {
    return repository.findByCode(code);
  }

  /** The thing an address names. */
  public T get(String code) {
    return find(code).orElseThrow(() -> Problem.notFound(word, code));
  }

  /** The thing a member of a request names. */
  public T require(String code, String pointer) {
    return find(code).orElseThrow(() -> Problem.unknownCode(pointer, word, code));
  }

  /** The thing with this id. */
  public T byId(long id) {
    return repository
        .findById(id)
        .orElseThrow(() -> new IllegalStateException("No " + word + " with id " + id));
  }

  /** Everything, in no order. */
  public List<T> all() {
    return repository.findAll();
  }

  /** Records a new thing. Call it inside a transaction. */
  public T add(T fresh, Actor actor, Object detail) {
    if (find(fresh.code()).isPresent()) {
      throw Problem.at(
          ProblemType.ALREADY_EXISTS, "/code", "There is a " + word + " " + fresh.code() + ".");
    }
    T stored = repository.saveAndFlush(fresh);
    tools.masterVersion().bump();
    tools.audit().record(actor, "created", word, fresh.code(), detail);
    return stored;
  }

  /** Records one thing from its request. */
  public <R> T create(R request, Function<R, T> toThing, Actor actor) {
    return tools.transactions().write(() -> add(toThing.apply(request), actor, request));
  }

  /** Records a CSV of things, all or nothing. */
  public <R> Recorded createAll(
      InputStream csv, Class<R> requestType, Function<R, T> toThing, Actor actor) {
    byte[] body = tools.bodies().whole(csv);
    return tools
        .transactions()
        .write(
            () ->
                new Recorded(
                    tools
                        .bodies()
                        .everyCsvRow(
                            new ByteArrayInputStream(body),
                            requestType,
                            row -> add(toThing.apply(row), actor, row))));
  }

  /** Changes a thing, if it is still the version the client read. */
  public T change(
      String code, @Nullable String ifMatch, Object request, Consumer<T> change, Actor actor) {
    return tools
        .transactions()
        .write(
            () -> {
              T thing = get(code);
              requireMatch(ifMatch, thing);
              boolean before = thing.retired();
              change.accept(thing);
              T stored = repository.saveAndFlush(thing);
              tools.masterVersion().bump();
              String action =
                  before == stored.retired() ? "changed" : before ? "reinstated" : "retired";
              tools.audit().record(actor, action, word, code, request);
              return stored;
            });
  }

  /** A page of the list, in the order of codes. */
  public <R> Page<R> page(int limit, @Nullable String cursor, Function<T, R> toView) {
    String question = word.toLowerCase(Locale.ROOT);
    Cursor from = Cursor.open(cursor, question);
    List<T> found =
        repository.findByCodeGreaterThanOrderByCode(
            from == null ? "" : from.position(), Limit.of(limit + 1));
    Page<T> page = Page.cut(found, limit, last -> new Cursor(last.code()).seal(question));
    return page.of(page.items().stream().map(toView).toList());
  }

  /** The moment a change is noted under. */
  public Instant now() {
    return tools.clock().instant();
  }

  /** One thing as an answer, with its ETag. */
  public static <R> ResponseEntity<R> answer(Coded thing, R view) {
    return ResponseEntity.ok().eTag("\"" + thing.rowVersion() + "\"").body(view);
  }

  /** How many rows of a bulk request were recorded. */
  @Schema(name = "TableRecorded", description = "How many rows of a bulk request were recorded.")
  public record Recorded(@Schema(description = "Number of rows.") int recorded) {}

  private void requireMatch(@Nullable String ifMatch, T thing) {
    if (ifMatch == null) {
      throw new Problem(
          ProblemType.PRECONDITION_REQUIRED,
          "Read the " + word + " first and send its ETag in the header If-Match.");
    }
    if (!IfMatch.met(ifMatch, thing.rowVersion())) {
      throw new Problem(
          ProblemType.STALE,
          "The "
              + word
              + " "
              + thing.code()
              + " has changed: it is now version \""
              + thing.rowVersion()
              + "\".");
    }
  }
}
