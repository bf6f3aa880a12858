package org.tarebook.http;

import io.swagger.v3.oas.models.OpenAPI;
import io.swagger.v3.oas.models.Operation;
import io.swagger.v3.oas.models.media.Content;
import io.swagger.v3.oas.models.media.MediaType;
import io.swagger.v3.oas.models.media.Schema;
import io.swagger.v3.oas.models.media.StringSchema;
import io.swagger.v3.oas.models.parameters.Parameter;
import java.util.Collection;
import java.util.Objects;
import java.util.Set;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.springdoc.core.customizers.OpenApiCustomizer;

/**
 * Keeps schemas to what clients of any language understand alike. A pattern describes the whole
 * text and has no classes of characters that some languages lack. Lines of JSON are text: OpenAPI
 * 3.1 cannot describe them one by one, so what a line holds stands in {@code x-itemSchema}, as
 * OpenAPI 3.2 describes it in {@code itemSchema}.
 */
class PortableSchemas implements OpenApiCustomizer {

  private static final String LINES = org.springframework.http.MediaType.APPLICATION_NDJSON_VALUE;

  /** By it clients take an answer as it is, and do not read it as one piece of JSON. */
  private static final String STREAM = "binary";

  /** Java's {@code \s} knows the blanks of ASCII only; that of JSON Schema knows all of them. */
  private static final String NO_BLANK_IN_JAVA = "[^\\s\\p{Z}]";

  @Override
  public void customise(OpenAPI document) {
    document
        .getComponents()
        .getSchemas()
        .values()
        .forEach(
            schema -> {
              if (schema.getEnum() != null && schema.getTypes() != null) {
                schema.getTypes().remove("null"); // left by an optional parameter
              }
              simplify(schema);
            });
    document.getPaths().values().stream()
        .flatMap(item -> item.readOperations().stream())
        .forEach(PortableSchemas::simplify);
  }

  private static void simplify(Operation operation) {
    Stream.ofNullable(operation.getParameters())
        .flatMap(Collection::stream)
        .map(Parameter::getSchema)
        .forEach(PortableSchemas::simplify);
    if (operation.getRequestBody() != null) {
      writeLinesAsText(operation.getRequestBody().getContent(), null);
    }
    operation
        .getResponses()
        .values()
        .forEach(response -> writeLinesAsText(response.getContent(), STREAM));
  }

  private static void simplify(@Nullable Schema<?> schema) {
    if (schema == null) {
      return;
    }
    if (schema.getPattern() != null) {
      schema.setPattern(portable(schema.getPattern()));
    }
    simplify(schema.getItems());
    if (schema.getProperties() != null) {
      schema.getProperties().values().forEach(PortableSchemas::simplify);
    }
    if (schema.getAdditionalProperties() instanceof Schema<?> values) {
      simplify(values);
    }
  }

  /** What validation holds against a whole text, as JSON Schema writes it. */
  static String portable(String pattern) {
    if (pattern.startsWith("^")) {
      return pattern;
    }
    String plain = pattern.replace(NO_BLANK_IN_JAVA, "\\S");
    return plain.contains("|") ? "^(" + plain + ")$" : "^" + plain + "$";
  }

  private static void writeLinesAsText(@Nullable Content content, @Nullable String format) {
    MediaType lines = content == null ? null : content.get(LINES);
    if (lines == null || lines.getSchema() == null || isText(lines.getSchema())) {
      return;
    }
    lines.addExtension("x-itemSchema", lines.getSchema());
    Schema<?> text = new StringSchema();
    text.addType("string");
    text.setFormat(format);
    lines.setSchema(text);
  }

  private static boolean isText(Schema<?> schema) {
    return Objects.requireNonNullElse(schema.getTypes(), Set.of()).contains("string");
  }
}
