package org.tarebook.http;

import com.fasterxml.jackson.databind.JavaType;
import com.fasterxml.jackson.databind.ObjectMapper;
import io.swagger.v3.core.converter.AnnotatedType;
import io.swagger.v3.core.converter.ModelConverter;
import io.swagger.v3.core.converter.ModelConverterContext;
import io.swagger.v3.core.jackson.ModelResolver;
import io.swagger.v3.core.jackson.TypeNameResolver;
import io.swagger.v3.oas.models.media.Schema;
import java.lang.reflect.RecordComponent;
import java.math.BigDecimal;
import java.util.Arrays;
import java.util.Iterator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * Shows records in the API document as they are on the wire: a member is required unless it is
 * {@link Nullable}, a decimal says so, an enum is a schema of its own, and all are described.
 */
class RecordSchemas extends ModelResolver {

  private static final Names NAMES = new Names();

  static {
    ModelResolver.enumsAsRef = true;
  }

  RecordSchemas(ObjectMapper mapper) {
    super(mapper, NAMES);
    openapi31(true);
  }

  @Override
  @SuppressWarnings("rawtypes")
  public @Nullable Schema resolve(
      AnnotatedType type, ModelConverterContext context, Iterator<ModelConverter> next) {
    Schema<?> schema = super.resolve(type, context, next);
    JavaType wanted = objectMapper().constructType(type.getType());
    if (schema != null && wanted.getRawClass() == BigDecimal.class) {
      schema.setFormat("decimal");
    }
    if (schema != null && (wanted.getRawClass().isRecord() || wanted.isEnumType())) {
      Schema<?> model = context.getDefinedModels().get(NAMES.nameForType(wanted));
      Schema<?> shown = model == null ? schema : model;
      if (wanted.isEnumType()) {
        SchemaDescriptions.describeEnum(shown, wanted.getRawClass());
      } else {
        requireWhatIsNotNullable(shown, wanted.getRawClass());
        writeIdsAsText(shown, wanted.getRawClass());
        SchemaDescriptions.describeRecord(shown, wanted.getRawClass());
      }
    }
    return schema;
  }

  private static void requireWhatIsNotNullable(Schema<?> schema, Class<?> type) {
    if (schema.getProperties() == null) {
      return;
    }
    List<String> required =
        Arrays.stream(type.getRecordComponents())
            .filter(member -> !member.getAnnotatedType().isAnnotationPresent(Nullable.class))
            .map(RecordComponent::getName)
            .filter(schema.getProperties()::containsKey)
            .toList();
    schema.setRequired(required.isEmpty() ? null : required);
  }

  private static void writeIdsAsText(Schema<?> schema, Class<?> type) {
    if (schema.getProperties() == null) {
      return;
    }
    for (RecordComponent member : type.getRecordComponents()) {
      if (member.isAnnotationPresent(WireId.class)) {
        asId(Objects.requireNonNull(schema.getProperties().get(member.getName())));
      }
    }
  }

  /** Shows a whole number as the id that it is. */
  static void asId(Schema<?> shown) {
    shown.setTypes(new LinkedHashSet<>(Set.of("string")));
    shown.setFormat(null);
    shown.setPattern(WireId.PATTERN);
  }

  /**
   * Names of schemas: as chosen by {@code @Schema(name)}, so that no client sees the name of a
   * class. Types that know nothing of HTTP have theirs in {@link PureSchemas}.
   */
  private static final class Names extends TypeNameResolver {

    private final Map<String, Class<?>> given = new ConcurrentHashMap<>();

    @Override
    protected String nameForClass(Class<?> type, Set<Options> options) {
      if (!type.getName().startsWith("org.tarebook.")) {
        return super.nameForClass(type, options);
      }
      io.swagger.v3.oas.annotations.media.Schema chosen =
          type.getAnnotation(io.swagger.v3.oas.annotations.media.Schema.class);
      String name =
          chosen == null || chosen.name().isEmpty()
              ? PureSchemas.name(type.getName())
              : chosen.name();
      if (name == null) {
        throw new IllegalStateException(type + " needs a name for clients: @Schema(name = ...)");
      }
      Class<?> other = given.putIfAbsent(name, type);
      if (other != null && other != type) {
        throw new IllegalStateException(other + " and " + type + " are both called " + name);
      }
      return name;
    }

    @Override
    protected String nameForGenericType(JavaType type, Set<Options> options) {
      return Stream.concat(
              type.getBindings().getTypeParameters().stream()
                  .map(parameter -> nameForType(parameter, options)),
              Stream.of(nameForClass(type, options)))
          .reduce("", String::concat);
    }
  }
}
