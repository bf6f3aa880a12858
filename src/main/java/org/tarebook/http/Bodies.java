package org.tarebook.http;

import jakarta.validation.ConstraintViolation;
import jakarta.validation.Validator;
import java.io.IOException;
import java.io.InputStream;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.function.Consumer;
import org.springframework.stereotype.Component;
import tools.jackson.core.JacksonException;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/** Reads requests out of lines: one JSON document a line, or CSV under a header. */
@Component
public class Bodies {

  private static final int MOST_FAULTS_TOLD = 200;
  private static final int LONGEST_WHOLE = 16_777_216;
  private static final String CUT_OFF = "The body was cut off. Nothing was stored; send it again.";

  private static final Comparator<JsonNode> NUMBERS_BY_VALUE =
      (a, b) ->
          a.isNumber() && b.isNumber()
              ? a.decimalValue().compareTo(b.decimalValue())
              : a.equals(b) ? 0 : 1;

  private final JsonMapper json;
  private final Validator validator;

  Bodies(JsonMapper json, Validator validator) {
    this.json = json;
    this.validator = validator;
  }

  /** Reads one JSON document and checks its members. */
  public <T> T json(String text, Class<T> type) {
    return json(text, 1, type);
  }

  /** Reads one JSON document that begins on this line of a body, and checks its members. */
  public <T> T json(String text, long line, Class<T> type) {
    T read;
    try {
      read = json.readValue(text, type);
    } catch (JacksonException failure) {
      throw JsonFaults.problem(failure, line);
    }
    if (read == null) {
      throw new Problem(ProblemType.UNREADABLE_BODY, "The body must be an object in braces.");
    }
    return checked(read);
  }

  /** The CSV form that a header line announces. */
  public <T> CsvForm<T> csvForm(String header, Class<T> type) {
    return new CsvForm<>(header, type, json);
  }

  /** Reads one CSV line and checks its members. */
  public <T> T csv(CsvForm<T> form, String line) {
    return checked(form.read(line));
  }

  /**
   * Reads a body that must fit in memory, so that storing it can be tried again.
   *
   * @throws Problem if it is longer than {@value #LONGEST_WHOLE} bytes or cut off
   */
  public byte[] whole(InputStream body) {
    try {
      byte[] bytes = body.readNBytes(LONGEST_WHOLE + 1);
      if (bytes.length > LONGEST_WHOLE) {
        throw new Problem(
            ProblemType.TOO_LARGE,
            "The body is longer than " + LONGEST_WHOLE + " bytes; send it in parts.");
      }
      return bytes;
    } catch (IOException cutOff) {
      throw new Problem(ProblemType.UNREADABLE_BODY, CUT_OFF);
    }
  }

  /**
   * Gives every row of a CSV body to an action, all or nothing: every row is tried, every fault is
   * told with its line, and any fault refuses the whole body. Call it inside a transaction.
   *
   * @return how many rows there were
   */
  public <T> int everyCsvRow(InputStream body, Class<T> type, Consumer<T> action) {
    List<Problem.Fault> told = new ArrayList<>();
    int faults = 0;
    int rows = 0;
    try {
      BodyLines lines = new BodyLines(body);
      BodyLines.Line header = lines.next();
      if (header != null && header.refusal() != null) {
        throw header.refusal();
      }
      if (header == null || header.text().isBlank()) {
        throw new Problem(ProblemType.UNREADABLE_BODY, "The first line must name the columns.");
      }
      CsvForm<T> form = csvForm(header.text(), type);
      for (BodyLines.Line line = lines.next(); line != null; line = lines.next()) {
        if (line.refusal() == null && line.text().isBlank()) {
          continue;
        }
        rows++;
        try {
          if (line.refusal() != null) {
            throw line.refusal();
          }
          action.accept(csv(form, line.text()));
        } catch (Problem problem) {
          for (Problem.Fault fault : faultsOf(problem)) {
            faults++;
            if (told.size() < MOST_FAULTS_TOLD) {
              told.add(new Problem.Fault((int) line.number(), fault.pointer(), fault.detail()));
            }
          }
        }
      }
    } catch (IOException cutOff) {
      throw new Problem(ProblemType.UNREADABLE_BODY, CUT_OFF);
    }
    if (faults > 0) {
      throw new Problem(
          ProblemType.INVALID_REQUEST,
          faults + " faults in " + rows + " rows; nothing was stored.",
          told);
    }
    return rows;
  }

  /**
   * The members in which a request differs from what is stored under its key; numbers are equal by
   * value, so that 4.385 and 4.3850 are the same.
   */
  public List<String> differences(Object sent, Object stored) {
    JsonNode one = json.valueToTree(sent);
    JsonNode other = json.valueToTree(stored);
    SortedSet<String> names = new TreeSet<>(one.propertyNames());
    names.addAll(other.propertyNames());
    return names.stream().filter(name -> !same(one.path(name), other.path(name))).toList();
  }

  private static boolean same(JsonNode one, JsonNode other) {
    return one.equals(NUMBERS_BY_VALUE, other);
  }

  private <T> T checked(T request) {
    Set<ConstraintViolation<T>> violations = validator.validate(request);
    if (!violations.isEmpty()) {
      Faults faults = new Faults();
      violations.stream()
          .sorted(Comparator.comparing(v -> v.getPropertyPath().toString()))
          .forEach(
              violation ->
                  faults.add(
                      JsonFaults.pointer(violation.getPropertyPath().toString()),
                      JsonFaults.detail(violation.getMessage(), violation.getInvalidValue())));
      faults.throwIfAny(ProblemType.INVALID_REQUEST);
    }
    return request;
  }

  private static List<Problem.Fault> faultsOf(Problem problem) {
    return problem.faults().isEmpty()
        ? List.of(Problem.Fault.at("", problem.detail()))
        : problem.faults();
  }
}
