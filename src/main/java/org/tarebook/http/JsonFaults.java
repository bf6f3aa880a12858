package org.tarebook.http;

import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import tools.jackson.core.JacksonException;
import tools.jackson.core.TokenStreamLocation;
import tools.jackson.core.exc.StreamConstraintsException;
import tools.jackson.core.exc.StreamReadException;
import tools.jackson.databind.DatabindException;
import tools.jackson.databind.exc.InvalidFormatException;
import tools.jackson.databind.exc.MismatchedInputException;
import tools.jackson.databind.exc.UnrecognizedPropertyException;

/** Says in plain words, and with the place, why JSON could not be read. */
public final class JsonFaults {

  private JsonFaults() {}

  /** The problem behind a failure to read JSON. */
  public static Problem problem(@Nullable Throwable failure) {
    if (failure instanceof Problem problem) {
      return problem;
    }
    if (failure instanceof DatabindException bound && !bound.getPath().isEmpty()) {
      Problem.Fault fault = Problem.Fault.at(pointer(bound), words(bound));
      return new Problem(
          ProblemType.INVALID_REQUEST, fault.pointer() + " " + fault.detail(), List.of(fault));
    }
    if (failure instanceof StreamReadException || failure instanceof StreamConstraintsException) {
      return new Problem(ProblemType.UNREADABLE_BODY, place((JacksonException) failure));
    }
    if (failure instanceof JacksonException other) {
      return new Problem(ProblemType.UNREADABLE_BODY, place(other));
    }
    return new Problem(
        ProblemType.UNREADABLE_BODY,
        "The body is missing, cut off or not UTF-8. Send one whole JSON document.");
  }

  private static String place(JacksonException failure) {
    TokenStreamLocation at = failure.getLocation();
    String words = plain(failure);
    return at == null || at.getLineNr() < 1
        ? words
        : "Line " + at.getLineNr() + ", column " + at.getColumnNr() + ": " + words;
  }

  /** What a parser says, in words that name no class of it. */
  private static String plain(JacksonException failure) {
    String said = String.valueOf(failure.getOriginalMessage());
    if (failure instanceof DatabindException) {
      return "a JSON object is wanted here, with its members in braces.";
    }
    if (failure instanceof StreamConstraintsException) {
      return "a text, a number or the nesting is longer than any record needs.";
    }
    if (said.startsWith("Unexpected end-of-input") || said.startsWith("Unexpected end")) {
      return "the document ends before it is complete; it was cut off.";
    }
    if (said.startsWith("Duplicate Object property")) {
      return "the member " + said.substring(said.indexOf('"')) + " stands twice.";
    }
    if (said.startsWith("Non-standard token")) {
      return said.substring("Non-standard token ".length(), said.indexOf(':'))
          + " is no number of JSON; leave the member out where there is no value.";
    }
    if (said.startsWith("Invalid UTF-8") || said.contains("UTF-32")) {
      return "this is not UTF-8.";
    }
    if (said.startsWith("Unexpected character")) {
      return said.substring(0, said.indexOf(')') + 1).replace("Unexpected", "unexpected")
          + "; numbers are written with a point, text and names in quotes.";
    }
    return "this is not JSON: " + said.replaceAll("[`\\[(].*", "").strip();
  }

  private static String words(DatabindException failure) {
    if (failure instanceof UnrecognizedPropertyException unknown) {
      List<Object> known =
          unknown.getKnownPropertyIds() == null
              ? List.of()
              : List.copyOf(unknown.getKnownPropertyIds());
      return "is not a member here; known are "
          + known.stream().map(Object::toString).sorted().collect(Collectors.joining(", "));
    }
    if (failure instanceof InvalidFormatException format && format.getTargetType() != null) {
      Class<?> wanted = format.getTargetType();
      if (wanted.isEnum()) {
        return "'"
            + format.getValue()
            + "' is none of "
            + Stream.of(wanted.getEnumConstants())
                .map(Object::toString)
                .collect(Collectors.joining(", "));
      }
      return "'"
          + format.getValue()
          + "' cannot be read as "
          + wanted.getSimpleName().toLowerCase(Locale.ROOT);
    }
    String said = String.valueOf(failure.getOriginalMessage());
    return said.startsWith("must") || !said.contains("`")
        ? said
        : failure instanceof MismatchedInputException mismatch && mismatch.getTargetType() != null
            ? "cannot be read as "
                + mismatch.getTargetType().getSimpleName().toLowerCase(Locale.ROOT)
            : "cannot be read";
  }

  private static String pointer(DatabindException failure) {
    return failure.getPath().stream()
        .map(
            step ->
                "/" + (step.getPropertyName() != null ? step.getPropertyName() : step.getIndex()))
        .collect(Collectors.joining());
  }

  /** A bean path such as {@code together[0].value} as a JSON pointer. */
  static String pointer(String beanPath) {
    return "/" + beanPath.replace("[", "/").replace("]", "").replace('.', '/');
  }
}
