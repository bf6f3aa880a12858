package org.tarebook.http;

import java.util.Collection;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.tarebook.quantity.Quoted;
import tools.jackson.core.JacksonException;
import tools.jackson.core.TokenStreamLocation;
import tools.jackson.core.exc.InputCoercionException;
import tools.jackson.databind.DatabindException;
import tools.jackson.databind.exc.InvalidFormatException;
import tools.jackson.databind.exc.InvalidNullException;
import tools.jackson.databind.exc.MismatchedInputException;
import tools.jackson.databind.exc.UnrecognizedPropertyException;

/** Says in plain words, and with the place, why JSON could not be read. */
public final class JsonFaults {

  /** A key or index in brackets, or a name; words about entries in angle brackets are neither. */
  private static final Pattern STEP = Pattern.compile("\\[([^]]*)]|(?:^|\\.)([^.\\[<]+)");

  private JsonFaults() {}

  /** The problem behind a failure to read JSON. */
  public static Problem problem(@Nullable Throwable failure) {
    return problem(failure, 1);
  }

  /** The problem behind a failure to read JSON that begins on this line of a body. */
  static Problem problem(@Nullable Throwable failure, long line) {
    if (failure instanceof Problem problem) {
      return problem;
    }
    if (failure instanceof JacksonException json) {
      if (json.getCause() instanceof Problem problem) {
        return problem;
      }
      if (!json.getPath().isEmpty()
          && (json instanceof DatabindException || json instanceof InputCoercionException)) {
        Problem.Fault fault = Problem.Fault.at(pointer(json), words(json));
        return new Problem(
            ProblemType.INVALID_REQUEST, fault.pointer() + " " + fault.detail(), List.of(fault));
      }
      return new Problem(ProblemType.UNREADABLE_BODY, place(json, line));
    }
    return new Problem(
        ProblemType.UNREADABLE_BODY,
        "The body is missing, cut off or not UTF-8. Send one whole JSON document.");
  }

  private static String place(JacksonException failure, long line) {
    TokenStreamLocation at = failure.getLocation();
    String words =
        failure instanceof MismatchedInputException mismatch
            ? ofWholeBody(mismatch)
            : withoutLibraryTerms(failure.getOriginalMessage());
    return at == null || at.getLineNr() < 1
        ? words
        : "Line " + (line + at.getLineNr() - 1) + ", column " + at.getColumnNr() + ": " + words;
  }

  private static String ofWholeBody(MismatchedInputException mismatch) {
    String words = mismatch.getOriginalMessage();
    if (words.startsWith("No content")) {
      return "the body is empty; send one whole JSON document";
    }
    return words.startsWith("Trailing")
        ? "something stands behind the document; send one JSON document"
        : "the body " + wanted(mismatch.getTargetType());
  }

  private static String words(JacksonException failure) {
    if (failure instanceof UnrecognizedPropertyException unknown) {
      List<Object> known =
          unknown.getKnownPropertyIds() == null
              ? List.of()
              : List.copyOf(unknown.getKnownPropertyIds());
      return "is not a member here; known are "
          + known.stream().map(Object::toString).sorted().collect(Collectors.joining(", "));
    }
    if (failure instanceof InvalidNullException) {
      return "is null; leave it out";
    }
    if (failure instanceof InputCoercionException) {
      return "is a number too large to be counted here";
    }
    if (failure instanceof InvalidFormatException format
        && format.getTargetType() != null
        && format.getTargetType().isEnum()) {
      return Quoted.of(String.valueOf(format.getValue()))
          + " is none of "
          + constants(format.getTargetType());
    }
    if (failure.getCause() instanceof IllegalArgumentException refused
        && refused.getMessage() != null) {
      return refused.getMessage();
    }
    String words = failure.getOriginalMessage();
    return failure instanceof MismatchedInputException mismatch && words.indexOf('`') >= 0
        ? wanted(mismatch.getTargetType())
        : withoutLibraryTerms(words);
  }

  private static String wanted(@Nullable Class<?> type) {
    if (type == null) {
      return "cannot be read";
    } else if (Number.class.isAssignableFrom(type) || type == int.class || type == long.class) {
      return "must be a whole number without quotes";
    } else if (type == Boolean.class || type == boolean.class) {
      return "must be true or false without quotes";
    } else if (Collection.class.isAssignableFrom(type) || type.isArray()) {
      return "must be a list in square brackets";
    } else if (type.isEnum()) {
      return "must be one of " + constants(type);
    }
    return "must be an object in braces";
  }

  private static String constants(Class<?> type) {
    return Stream.of(type.getEnumConstants())
        .map(Object::toString)
        .collect(Collectors.joining(", "));
  }

  /** The library speaks of its own settings, which nobody at a terminal can change. */
  private static String withoutLibraryTerms(String words) {
    if (words.startsWith("Unexpected character") && words.contains("double-quote")) {
      return words.matches("(?s)Unexpected character \\('[0-9]'.*")
          ? "a number has a comma in it; write it with a decimal point, 8.40"
          : "the name of a member must stand in double quotes";
    }
    String plain =
        words.replaceAll("(?s): enable `.*|, from `[^`]*`| \\(start marker.*| \\[truncated.*", "");
    return plain.indexOf('`') >= 0 ? "cannot be read" : plain;
  }

  private static String pointer(JacksonException failure) {
    return failure.getPath().stream()
        .map(
            step ->
                "/"
                    + (step.getPropertyName() != null
                        ? escaped(step.getPropertyName())
                        : step.getIndex()))
        .collect(Collectors.joining());
  }

  /**
   * What is wrong with a member that breaks its rule: a text has characters, anything else entries.
   *
   * @param message the rule's own
   */
  static String detail(@Nullable String message, @Nullable Object value) {
    return String.valueOf(message)
        .replace("characters or entries", value instanceof CharSequence ? "characters" : "entries");
  }

  /**
   * A bean path such as {@code together[0].value} as a JSON pointer. An entry of a set has no place
   * of its own, so the pointer names the set.
   */
  static String pointer(String beanPath) {
    StringBuilder pointer = new StringBuilder();
    Matcher steps = STEP.matcher(beanPath);
    while (steps.find()) {
      String step = steps.group(1) != null ? steps.group(1) : steps.group(2);
      if (!step.isEmpty()) {
        pointer.append('/').append(escaped(step));
      }
    }
    return pointer.toString();
  }

  private static String escaped(String name) {
    return name.replace("~", "~0").replace("/", "~1");
  }
}
