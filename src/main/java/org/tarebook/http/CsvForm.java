package org.tarebook.http;

import java.lang.reflect.ParameterizedType;
import java.lang.reflect.RecordComponent;
import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.tarebook.quantity.Decimals;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/**
 * CSV by RFC 4180 whose columns are the members of a request, in any order, under their JSON names.
 * The first line names them. A line is one record: a quoted field may hold commas and doubled
 * quotes, but no line break. An empty field is an absent member; a set is written with blanks
 * between its values.
 */
public final class CsvForm<T> {

  /** What a spreadsheet may take for a formula, some of them behind blanks or in full width. */
  private static final Pattern FORMULA =
      Pattern.compile("[\\s\\p{Z}]*[=+\\-@\uFF1D\uFF0B\uFF0D\uFF20]|[\\t\\r]");

  private static final Pattern NUMBER = Pattern.compile("-?[0-9]+(\\.[0-9]+)?(E-?[0-9]+)?");

  private final Class<T> type;
  private final JsonMapper json;
  private final List<RecordComponent> columns = new ArrayList<>();

  /** The form that a header line announces. */
  CsvForm(String header, Class<T> type, JsonMapper json) {
    this.type = type;
    this.json = json;
    Map<String, RecordComponent> known = new LinkedHashMap<>();
    for (RecordComponent component : type.getRecordComponents()) {
      if (isOneField(component)) {
        known.put(component.getName(), component);
      }
    }
    Faults faults = new Faults();
    for (String name : fields(header)) {
      RecordComponent component = known.get(name.strip());
      if (component == null) {
        faults.add(name, "is no column here; known are " + String.join(", ", known.keySet()));
      } else if (columns.contains(component)) {
        faults.add(name, "stands twice in the header");
      } else {
        columns.add(component);
      }
    }
    faults.throwIfAny(ProblemType.INVALID_REQUEST);
  }

  /** Reads one line into a request; the request's own rules are not checked here. */
  T read(String line) {
    List<String> fields = fields(line);
    if (fields.size() != columns.size()) {
      throw new Problem(
          ProblemType.INVALID_REQUEST,
          "has " + fields.size() + " fields where the header names " + columns.size());
    }
    ObjectNode node = json.createObjectNode();
    Faults faults = new Faults();
    for (int i = 0; i < fields.size(); i++) {
      RecordComponent column = columns.get(i);
      try {
        put(node, column, fields.get(i));
      } catch (IllegalArgumentException refused) {
        faults.add("/" + column.getName(), String.valueOf(refused.getMessage()));
      }
    }
    faults.throwIfAny(ProblemType.INVALID_REQUEST);
    try {
      return json.treeToValue(node, type);
    } catch (tools.jackson.core.JacksonException failure) {
      throw JsonFaults.problem(failure);
    }
  }

  private static void put(ObjectNode node, RecordComponent column, String field) {
    String name = column.getName();
    Class<?> wanted = column.getType();
    if (field.isEmpty()) {
      return;
    }
    if (wanted == BigDecimal.class) {
      node.put(name, Decimals.parse(field));
    } else if (wanted == Integer.class || wanted == Long.class) {
      node.put(name, Values.whole(field, Long.MIN_VALUE, Long.MAX_VALUE));
    } else if (wanted == Boolean.class) {
      node.put(name, Values.truth(field));
    } else if (Collection.class.isAssignableFrom(wanted)) {
      ArrayNode array = node.putArray(name);
      Arrays.stream(field.strip().split("\\s+")).forEach(array::add);
    } else {
      node.put(name, field);
    }
  }

  private static boolean isOneField(RecordComponent component) {
    if (component.getGenericType() instanceof ParameterizedType parameterized) {
      return parameterized.getActualTypeArguments()[0] instanceof Class<?> element
          && (element.isEnum() || element == String.class);
    }
    return !component.getType().isRecord();
  }

  private static List<String> fields(String line) {
    return fields(line, ',');
  }

  /**
   * The fields of a line.
   *
   * @param separator what stands between them
   */
  public static List<String> fields(String line, char separator) {
    List<String> fields = new ArrayList<>();
    int at = 0;
    while (true) {
      StringBuilder field = new StringBuilder();
      if (at < line.length() && line.charAt(at) == '"') {
        at = quoted(line, at + 1, separator, field);
      } else {
        int comma = line.indexOf(separator, at);
        int end = comma < 0 ? line.length() : comma;
        field.append(line, at, end);
        if (field.indexOf("\"") >= 0) {
          throw new Problem(
              ProblemType.UNREADABLE_BODY,
              "has a quote inside a field without quotes, column " + (at + 1));
        }
        at = end;
      }
      fields.add(field.toString());
      if (at == line.length()) {
        return fields;
      }
      at++;
    }
  }

  private static int quoted(String line, int start, char separator, StringBuilder field) {
    int at = start;
    while (true) {
      int quote = line.indexOf('"', at);
      if (quote < 0) {
        throw new Problem(
            ProblemType.UNREADABLE_BODY, "has a quoted field without an end, column " + start);
      }
      field.append(line, at, quote);
      if (quote + 1 < line.length() && line.charAt(quote + 1) == '"') {
        field.append('"');
        at = quote + 2;
      } else if (quote + 1 == line.length() || line.charAt(quote + 1) == separator) {
        return quote + 1;
      } else {
        throw new Problem(
            ProblemType.UNREADABLE_BODY,
            "has something between a closing quote and the "
                + (separator == ',' ? "comma" : "separator")
                + ", column "
                + (quote + 2));
      }
    }
  }

  /**
   * A value for a field that a spreadsheet shows as it is: an apostrophe before what would be taken
   * for a formula.
   */
  public static String safe(String text) {
    boolean formula = FORMULA.matcher(text).lookingAt();
    return formula && !NUMBER.matcher(text).matches() ? "'" + text : text;
  }

  /** One field as CSV writes it: quoted where it must be. */
  public static String field(String text) {
    return text.chars().anyMatch(c -> c == ',' || c == '"' || c == '\n' || c == '\r')
        ? '"' + text.replace("\"", "\"\"") + '"'
        : text;
  }

  /** A line of fields as CSV writes it, without its end. */
  public static String line(List<String> fields) {
    return fields.stream().map(CsvForm::field).collect(Collectors.joining(","));
  }
}
