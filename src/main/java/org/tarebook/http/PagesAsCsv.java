package org.tarebook.http;

import java.io.BufferedWriter;
import java.io.IOException;
import java.io.OutputStreamWriter;
import java.io.Writer;
import java.lang.reflect.ParameterizedType;
import java.lang.reflect.RecordComponent;
import java.lang.reflect.Type;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpInputMessage;
import org.springframework.http.HttpOutputMessage;
import org.springframework.http.MediaType;
import org.springframework.http.converter.AbstractGenericHttpMessageConverter;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/**
 * Writes a page of any list as CSV (RFC 4180): a column for each member of its things, under its
 * JSON name; members of members with a dot between, such as {@code specification.revision}; what is
 * itself a list as JSON in one field. An absent member is an empty field.
 */
final class PagesAsCsv extends AbstractGenericHttpMessageConverter<Page<?>> {

  /** The form. */
  static final MediaType CSV = new MediaType("text", "csv", StandardCharsets.UTF_8);

  private final JsonMapper json;

  PagesAsCsv(JsonMapper json) {
    super(new MediaType("text", "csv"));
    this.json = json;
  }

  @Override
  public boolean canWrite(@Nullable Type type, Class<?> kind, @Nullable MediaType form) {
    return things(type) != null && canWrite(form);
  }

  @Override
  protected boolean supports(Class<?> kind) {
    return kind == Page.class;
  }

  @Override
  public boolean canRead(Type type, @Nullable Class<?> context, @Nullable MediaType form) {
    return false;
  }

  @Override
  protected boolean canRead(@Nullable MediaType form) {
    return false;
  }

  @Override
  public Page<?> read(Type type, @Nullable Class<?> context, HttpInputMessage message) {
    throw new UnsupportedOperationException();
  }

  @Override
  protected Page<?> readInternal(Class<? extends Page<?>> kind, HttpInputMessage message) {
    throw new UnsupportedOperationException();
  }

  @Override
  protected void writeInternal(Page<?> page, @Nullable Type type, HttpOutputMessage message)
      throws IOException {
    message.getHeaders().setContentType(CSV);
    List<List<String>> columns = new ArrayList<>();
    Class<?> things = things(type);
    if (things != null) {
      addColumns(columns, List.of(), things);
    }
    Writer out =
        new BufferedWriter(new OutputStreamWriter(message.getBody(), StandardCharsets.UTF_8));
    line(out, columns.stream().map(path -> String.join(".", path)).toList());
    for (Object thing : page.items()) {
      JsonNode tree = json.valueToTree(thing);
      line(out, columns.stream().map(path -> field(tree, path)).toList());
    }
    out.flush();
  }

  private static void line(Writer out, List<String> fields) throws IOException {
    out.write(CsvForm.line(fields) + "\r\n");
  }

  private static String field(JsonNode tree, List<String> path) {
    JsonNode node = tree;
    for (String member : path) {
      node = node.path(member);
    }
    if (node.isMissingNode() || node.isNull()) {
      return "";
    }
    if (node.isNumber()) {
      return node.decimalValue().toPlainString();
    }
    return node.isValueNode() ? CsvForm.safe(node.asString()) : node.toString();
  }

  private static void addColumns(List<List<String>> columns, List<String> path, Class<?> type) {
    for (RecordComponent component : type.getRecordComponents()) {
      List<String> longer = new ArrayList<>(path);
      longer.add(component.getName());
      if (component.getType().isRecord()) {
        addColumns(columns, longer, component.getType());
      } else {
        columns.add(longer);
      }
    }
  }

  /** The records that a page of this type holds, if it is one. */
  private static @Nullable Class<?> things(@Nullable Type type) {
    return type instanceof ParameterizedType page
            && page.getRawType() == Page.class
            && page.getActualTypeArguments()[0] instanceof Class<?> things
            && things.isRecord()
        ? things
        : null;
  }
}
