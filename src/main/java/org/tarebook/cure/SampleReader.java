package org.tarebook.cure;

import jakarta.validation.Valid;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.math.BigDecimal;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.zip.GZIPInputStream;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;
import org.tarebook.http.Bodies;
import org.tarebook.http.BodyLines;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;

/** Reads a piece of a log out of a body: JSON, NDJSON or CSV, as it is or in gzip. */
@Component
class SampleReader {

  private final Bodies bodies;

  SampleReader(Bodies bodies) {
    this.bodies = bodies;
  }

  /** A piece as one JSON document. */
  @io.swagger.v3.oas.annotations.media.Schema(
      name = "SampleDocument",
      description = "A piece of a cure log as one JSON document.")
  record Document(
      @io.swagger.v3.oas.annotations.media.Schema(
              description =
                  "The samples, each with its moment; left out where the piece holds marks only.")
          @Nullable List<@Valid @NotNull Row> samples,
      @io.swagger.v3.oas.annotations.media.Schema(
              description = "The marks of steps that began; left out where there are none.")
          @Nullable List<@Valid @NotNull Begun> steps) {}

  /** What channels showed at one moment, by their codes. */
  @io.swagger.v3.oas.annotations.media.Schema(
      name = "SampleRow",
      description = "What channels showed at one moment.")
  record Row(
      @io.swagger.v3.oas.annotations.media.Schema(
              description = "The moment, by the recorder's clock, with its offset.")
          @NotNull
          Instant at,
      @io.swagger.v3.oas.annotations.media.Schema(
              description =
                  "What channels showed, by the codes of the channels, each in the channel's unit.")
          @NotNull
          Map<String, @NotNull BigDecimal> values) {}

  /** That a step began. */
  @io.swagger.v3.oas.annotations.media.Schema(
      name = "StepBegun",
      description = "A mark that a step began.")
  record Begun(
      @io.swagger.v3.oas.annotations.media.Schema(
              description = "When it began, by the recorder's clock, with its offset.")
          @NotNull
          Instant at,
      @io.swagger.v3.oas.annotations.media.Schema(description = "Name of the step in the schedule.")
          @NotNull
          @Size(min = 1, max = 40)
          String step) {}

  /** A line of NDJSON: what channels showed, or that a step began, or both. */
  @io.swagger.v3.oas.annotations.media.Schema(
      name = "SampleLine",
      description =
          "A line of NDJSON: what channels showed at a moment, or that a step began, or both.")
  record Line(
      @io.swagger.v3.oas.annotations.media.Schema(
              description = "The moment, by the recorder's clock, with its offset.")
          @NotNull
          Instant at,
      @io.swagger.v3.oas.annotations.media.Schema(
              description =
                  "What channels showed, by the codes of the channels, each in the channel's unit;"
                      + " left out where the line marks a step only.")
          @Nullable Map<String, @NotNull BigDecimal> values,
      @io.swagger.v3.oas.annotations.media.Schema(
              description = "Name of the step that began; left out where none did.")
          @Size(min = 1, max = 40)
          @Nullable String step) {}

  /** The forms a body may have. */
  enum Form {
    JSON,
    NDJSON,
    CSV
  }

  /** The body as it was before gzip, whole. */
  byte[] unpacked(InputStream body, boolean gzip) {
    byte[] sent = bodies.whole(body);
    if (!gzip) {
      return sent;
    }
    try {
      return bodies.whole(new GZIPInputStream(new ByteArrayInputStream(sent)));
    } catch (IOException damaged) {
      throw new Problem(
          ProblemType.UNREADABLE_BODY,
          "The body is not whole gzip, as Content-Encoding says it is; nothing was stored.");
    }
  }

  PieceContent read(
      byte[] body, Form form, Cure cure, Set<String> steps, @Nullable ColumnPlanDefinition plan) {
    Set<String> channels =
        cure.channels().stream()
            .map(Channel::code)
            .collect(Collectors.toCollection(LinkedHashSet::new));
    PieceBuilder into = new PieceBuilder(channels, steps);
    switch (form) {
      case JSON -> readDocument(body, into);
      case NDJSON -> readLines(body, into);
      case CSV -> readCsv(body, into, cure, plan);
    }
    return into.content();
  }

  private void readDocument(byte[] body, PieceBuilder into) {
    Document document = bodies.json(text(body), Document.class);
    int at = 0;
    for (Row row : document.samples() == null ? List.<Row>of() : document.samples()) {
      String place = "/samples/" + at++ + "/values/";
      row.values().forEach((code, number) -> into.sample(code, row.at(), number, 0, place + code));
    }
    at = 0;
    for (Begun step : document.steps() == null ? List.<Begun>of() : document.steps()) {
      into.mark(step.step(), step.at(), 0, "/steps/" + at++ + "/step");
    }
  }

  private static String text(byte[] body) {
    try {
      return StandardCharsets.UTF_8.newDecoder().decode(ByteBuffer.wrap(body)).toString();
    } catch (CharacterCodingException malformed) {
      throw new Problem(ProblemType.UNREADABLE_BODY, "The body is not UTF-8; nothing was stored.");
    }
  }

  private void readLines(byte[] body, PieceBuilder into) {
    everyLine(
        body,
        false,
        (text, number) -> {
          Line line = bodies.json(text, number, Line.class);
          if (line.values() == null && line.step() == null) {
            into.fault(number, "/values", "or step is needed");
          }
          if (line.values() != null) {
            line.values()
                .forEach(
                    (code, shown) ->
                        into.sample(code, line.at(), shown, number, "/values/" + code));
          }
          if (line.step() != null) {
            into.mark(line.step(), line.at(), number, "/step");
          }
        },
        into);
  }

  private void readCsv(
      byte[] body, PieceBuilder into, Cure cure, @Nullable ColumnPlanDefinition plan) {
    SampleCsv[] csv = new SampleCsv[1];
    everyLine(
        body,
        true,
        (text, number) -> {
          if (csv[0] == null) {
            csv[0] = new SampleCsv(text, plan, cure.startedAt());
          } else {
            csv[0].read(text, number, into);
          }
        },
        into);
  }

  private interface LineAction {
    void read(String text, int number);
  }

  private static void everyLine(byte[] body, boolean headed, LineAction action, PieceBuilder into) {
    BodyLines lines = new BodyLines(new ByteArrayInputStream(body));
    try {
      for (BodyLines.Line line = lines.next(); line != null; line = lines.next()) {
        if (line.refusal() == null && line.text().isBlank()) {
          continue;
        }
        try {
          if (line.refusal() != null) {
            throw line.refusal();
          }
          action.read(line.text(), (int) line.number());
        } catch (Problem problem) {
          if (headed && line.number() == 1) {
            throw problem;
          }
          tell(problem, (int) line.number(), into);
        }
      }
    } catch (IOException impossible) {
      throw new IllegalStateException("Bytes in memory can be read", impossible);
    }
  }

  private static void tell(Problem problem, int number, PieceBuilder into) {
    if (problem.faults().isEmpty()) {
      into.fault(number, "", problem.detail());
    } else {
      problem.faults().forEach(fault -> into.fault(number, fault.pointer(), fault.detail()));
    }
  }
}
