package org.tarebook.reading;

import com.fasterxml.jackson.annotation.JsonPropertyOrder;
import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import java.util.concurrent.atomic.AtomicLong;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.http.MediaType;
import org.springframework.http.ProblemDetail;
import org.springframework.stereotype.Component;
import org.springframework.util.unit.DataSize;
import org.tarebook.audit.Actor;
import org.tarebook.http.Bodies;
import org.tarebook.http.BodyLines;
import org.tarebook.http.CsvForm;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.storage.DatabaseFailure;
import org.tarebook.storage.UnconfirmedCommit;
import tools.jackson.databind.json.JsonMapper;

/**
 * Takes in NDJSON or CSV of any length in constant memory: lines are read outside any transaction,
 * stored some hundred at a time, one transaction each, and the outcomes are kept in a file until
 * the client has sent everything, so that a client that does not read while it writes stops nobody.
 */
@Component
class BulkIntake {

  private static final Logger log = LoggerFactory.getLogger(BulkIntake.class);
  private static final int CHUNK = 500;
  private static final Path FOLDER = Path.of(System.getProperty("java.io.tmpdir"));

  /** So often a chunk is tried again whose charts other work holds. */
  private static final int ATTEMPTS = 4;

  /** After so many refused lines the rest of a body is not looked at. */
  static final int MOST_REFUSED = 1_000;

  private final AtomicLong waiting = new AtomicLong();
  private final long mostWaiting;
  private final Readings readings;
  private final ReadingViews views;
  private final Bodies bodies;
  private final JsonMapper json;

  BulkIntake(
      Readings readings,
      ReadingViews views,
      Bodies bodies,
      JsonMapper json,
      @Value("${tarebook.outcomes-waiting}") DataSize mostWaiting) {
    this.mostWaiting = mostWaiting.toBytes();
    this.readings = readings;
    this.views = views;
    this.bodies = bodies;
    this.json = json;
  }

  /** What became of a line. */
  @JsonPropertyOrder({
    "line",
    "outcome",
    "key",
    "id",
    "result",
    "direction",
    "standing",
    "notices",
    "problem"
  })
  @Schema(name = "ReadingOutcome", description = "What became of one line of a bulk posting.")
  record LineOutcome(
      @Schema(description = "Number of the line in the body, from 1; in CSV line 1 names columns.")
          long line,
      @Schema(
              description =
                  "recorded: the readings were stored. replayed: they were on record already."
                      + " refused: nothing of the line was stored.",
              allowableValues = {"recorded", "replayed", "refused"})
          String outcome,
      @Schema(description = "Key of the posting; absent where the line has none that can be read.")
          @Nullable String key,
      @Schema(description = "Id of its first reading; absent where it was refused.")
          @Nullable String id,
      @Schema(description = "Result of its first reading; absent where it was refused.")
          @Nullable Result result,
      @Schema(description = "Side on which its first reading lies outside; absent inside.")
          @Nullable Direction direction,
      @Schema(
              description =
                  "Whether its first reading counts in statistics (COUNTED), or the cause why not;"
                      + " absent where it was refused.")
          @Nullable String standing,
      @Schema(description = "What a person should know of its readings; absent without notices.")
          @Nullable List<Notice> notices,
      @Schema(
              description = "Why it was refused; absent where it was not.",
              ref = "#/components/schemas/Problem")
          @Nullable ProblemDetail problem) {}

  /**
   * The last line of the answer.
   *
   * @param resumeAt the first line that was not looked at; absent where all were
   * @param problem why the rest was not looked at; absent where all were
   */
  @JsonPropertyOrder({"end", "lines", "recorded", "replayed", "refused", "resumeAt", "problem"})
  @Schema(
      name = "BulkEnd",
      description = "The last line of a bulk answer. Without it the transfer was cut off.")
  record End(
      @Schema(description = "Always true: nothing follows.") boolean end,
      @Schema(description = "Lines that were looked at, blank ones and a CSV's first left out.")
          long lines,
      @Schema(description = "Lines of which the readings were stored.") long recorded,
      @Schema(description = "Lines of which the readings were on record already.") long replayed,
      @Schema(description = "Lines that were refused.") long refused,
      @Schema(description = "The first line that was not looked at; absent where all were.")
          @Nullable Long resumeAt,
      @Schema(
              description = "Why the rest was not looked at; absent where all was.",
              ref = "#/components/schemas/Problem")
          @Nullable ProblemDetail problem) {}

  /** What became of a posting, and what is known of its readings. */
  private record Stored(Outcome outcome, Map<Long, ReadingViews.Known> known) {}

  /** A line that was read: a posting, or why there is none. */
  private record Line(long number, @Nullable Posting posting, @Nullable Problem refusal) {}

  private static final class Counts {
    private long recorded;
    private long replayed;
    private long refused;
    private @Nullable Long resumeAt;
    private @Nullable Problem stopped;
  }

  void take(HttpServletRequest request, HttpServletResponse response, Actor actor)
      throws IOException {
    boolean csv =
        MediaType.parseMediaType(request.getContentType()).getSubtype().equalsIgnoreCase("csv");
    try (Spool outcomes = new Spool(FOLDER, waiting)) {
      Counts counts = new Counts();
      read(request.getInputStream(), csv, actor, outcomes, counts);
      request.getInputStream().transferTo(OutputStream.nullOutputStream());
      outcomes.writeLine(
          json.writeValueAsBytes(
              new End(
                  true,
                  counts.recorded + counts.replayed + counts.refused,
                  counts.recorded,
                  counts.replayed,
                  counts.refused,
                  counts.resumeAt,
                  counts.stopped == null ? null : counts.stopped.toDocument())));
      response.setContentType(MediaType.APPLICATION_NDJSON_VALUE);
      outcomes.sendTo(response.getOutputStream());
    }
  }

  private void read(InputStream body, boolean csv, Actor actor, Spool outcomes, Counts counts)
      throws IOException {
    BodyLines lines = new BodyLines(body);
    CsvForm<Posting> form = csv ? form(lines) : null;
    List<Line> chunk = new ArrayList<>(CHUNK);
    for (BodyLines.Line line = lines.next(); line != null; line = lines.next()) {
      if (line.refusal() == null && line.text().isBlank()) {
        continue;
      }
      if (chunk.isEmpty() && stops(counts)) {
        counts.resumeAt = line.number();
        return;
      }
      chunk.add(understand(line, form));
      if (chunk.size() == CHUNK) {
        store(chunk, actor, outcomes, counts);
        chunk.clear();
      }
    }
    store(chunk, actor, outcomes, counts);
  }

  /** Whether the rest of a body is left alone, asked before each chunk. */
  private boolean stops(Counts counts) {
    if (counts.refused >= MOST_REFUSED) {
      counts.stopped =
          new Problem(
              ProblemType.INVALID_REQUEST,
              "After "
                  + counts.refused
                  + " refused lines the rest was not read. Mend the lines and send them again, from"
                  + " the line in resumeAt on.");
    } else if (waiting.get() > mostWaiting) {
      counts.stopped =
          new Problem(
              ProblemType.UNAVAILABLE,
              "Too many outcomes of other bodies wait to be sent. The rest was not read. Send it"
                  + " later, from the line in resumeAt on.");
    }
    return counts.stopped != null;
  }

  private CsvForm<Posting> form(BodyLines lines) throws IOException {
    BodyLines.Line header = lines.next();
    if (header == null) {
      throw new Problem(ProblemType.UNREADABLE_BODY, "The first line must name the columns.");
    }
    if (header.refusal() != null) {
      throw header.refusal();
    }
    return bodies.csvForm(header.text(), Posting.class);
  }

  private Line understand(BodyLines.Line line, @Nullable CsvForm<Posting> form) {
    try {
      if (line.refusal() != null) {
        throw line.refusal();
      }
      Posting posting =
          form == null
              ? bodies.json(line.text(), line.number(), Posting.class)
              : bodies.csv(form, line.text());
      return new Line(line.number(), posting, null);
    } catch (Problem problem) {
      boolean unnamed = form != null && line.refusal() == null && problem.faults().isEmpty();
      return new Line(
          line.number(),
          null,
          unnamed
              ? new Problem(problem.type(), "Line " + line.number() + " " + problem.detail() + ".")
              : problem);
    }
  }

  private void store(List<Line> chunk, Actor actor, Spool outcomes, Counts counts)
      throws IOException {
    List<Posting> postings = new ArrayList<>();
    for (Line line : chunk) {
      if (line.posting() != null) {
        postings.add(line.posting());
      }
    }
    List<Stored> stored = record(postings, actor);
    int next = 0;
    for (Line line : chunk) {
      Stored each = line.refusal() != null ? refused(line.refusal()) : stored.get(next++);
      outcomes.writeLine(json.writeValueAsBytes(told(line, each, counts)));
    }
  }

  /**
   * Stores postings together; where something unexpected happens, in halves, down to the one. Where
   * the database fails, all ends: the client sends everything again.
   */
  private List<Stored> record(List<Posting> postings, Actor actor) {
    if (postings.isEmpty()) {
      return List.of();
    }
    try {
      return recordPatiently(postings, actor);
    } catch (RuntimeException unexpected) {
      if (DatabaseFailure.of(unexpected).isPresent()) {
        throw new UnconfirmedCommit(unexpected); // earlier chunks are stored
      }
      if (postings.size() > 1) {
        int half = postings.size() / 2;
        List<Stored> outcomes = new ArrayList<>(record(postings.subList(0, half), actor));
        outcomes.addAll(record(postings.subList(half, postings.size()), actor));
        return outcomes;
      }
      String number = UUID.randomUUID().toString();
      log.error("Fault {} at the posting {}", number, postings.get(0).key(), unexpected);
      return List.of(
          refused(
              new Problem(
                  ProblemType.INTERNAL_ERROR,
                  "The log holds the cause as fault " + number + "; post the line again.")));
    }
  }

  private List<Stored> recordPatiently(List<Posting> postings, Actor actor) {
    for (int attempt = 1; ; attempt++) {
      try {
        Recorded recorded = readings.record(postings, actor);
        Map<Long, ReadingViews.Known> known = views.known(recorded);
        return recorded.outcomes().stream().map(each -> new Stored(each, known)).toList();
      } catch (RuntimeException failure) {
        if (attempt == ATTEMPTS
            || DatabaseFailure.of(failure).filter(DatabaseFailure.BUSY::equals).isEmpty()) {
          throw failure;
        }
      }
    }
  }

  private static Stored refused(Problem problem) {
    return new Stored(Outcome.refused(problem), Map.of());
  }

  private static LineOutcome told(Line line, Stored stored, Counts counts) {
    Outcome outcome = stored.outcome();
    String key = line.posting() == null ? null : line.posting().key();
    if (outcome.refusal() != null) {
      counts.refused++;
      return new LineOutcome(
          line.number(),
          "refused",
          key,
          null,
          null,
          null,
          null,
          null,
          outcome.refusal().toDocument());
    }
    if (outcome.replayed()) {
      counts.replayed++;
    } else {
      counts.recorded++;
    }
    Reading first = outcome.readings().get(0);
    List<ReadingViews.Known> known =
        outcome.readings().stream().map(each -> stored.known().get(each.id())).toList();
    Reading.Judged judged = known.get(0).fact().judged();
    List<Notice> notices = known.stream().flatMap(each -> each.notices().stream()).toList();
    return new LineOutcome(
        line.number(),
        outcome.replayed() ? "replayed" : "recorded",
        key,
        String.valueOf(first.id()),
        judged.result(),
        judged.direction(),
        known.get(0).standing(),
        notices.isEmpty() ? null : notices,
        null);
  }
}
