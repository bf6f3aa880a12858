package org.tarebook.http;

import io.swagger.v3.oas.models.media.Schema;
import java.util.Arrays;
import java.util.Objects;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/**
 * Completes the descriptions of schemas. An enum's description lists its values, each as
 * {@code @Schema(description)} on the constant describes it; a member of a record that has no
 * description of its own gets that of {@link MemberDescriptions}.
 */
final class SchemaDescriptions {

  private SchemaDescriptions() {}

  /** Describes an enum and each of its values. */
  static void describeEnum(Schema<?> schema, Class<?> type) {
    String values =
        Arrays.stream(type.getEnumConstants())
            .map(value -> ((Enum<?>) value).name())
            .map(name -> "- " + name + ": " + ofValue(type, name))
            .collect(Collectors.joining("\n"));
    schema.setDescription(Objects.requireNonNullElse(ofType(type), "") + "\n\n" + values);
  }

  /** Describes a record and its members. */
  static void describeRecord(Schema<?> schema, Class<?> type) {
    if (schema.get$ref() == null && schema.getDescription() == null) {
      schema.setDescription(ofType(type));
    }
    if (schema.getProperties() == null) {
      return;
    }
    schema
        .getProperties()
        .forEach(
            (name, member) -> {
              if (member.getDescription() == null) {
                member.setDescription(ofMember(type, name, member.get$ref() != null));
              }
            });
  }

  private static @Nullable String ofMember(Class<?> type, String member, boolean isReference) {
    String known = PureSchemas.part(type.getName(), member);
    return known != null || isReference ? known : MemberDescriptions.of(member);
  }

  private static @Nullable String ofType(Class<?> type) {
    io.swagger.v3.oas.annotations.media.Schema annotation =
        type.getAnnotation(io.swagger.v3.oas.annotations.media.Schema.class);
    return annotation == null || annotation.description().isEmpty()
        ? PureSchemas.description(type.getName())
        : annotation.description();
  }

  private static String ofValue(Class<?> type, String value) {
    return Arrays.stream(type.getFields())
        .filter(field -> field.getName().equals(value))
        .map(field -> field.getAnnotation(io.swagger.v3.oas.annotations.media.Schema.class))
        .filter(Objects::nonNull)
        .map(io.swagger.v3.oas.annotations.media.Schema::description)
        .findFirst()
        .orElseGet(() -> Objects.requireNonNullElse(PureSchemas.part(type.getName(), value), ""));
  }
}
