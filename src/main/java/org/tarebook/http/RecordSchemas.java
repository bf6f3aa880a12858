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
import java.util.List;
import java.util.Set;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * Shows records in the API document as they are on the wire: a member is required unless it is
 * {@link Nullable}, a decimal says so, and a record inside another class carries that class's name.
 */
class RecordSchemas extends ModelResolver {

  private static final Names NAMES = new Names();

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
    if (schema != null && wanted.getRawClass().isRecord()) {
      Schema<?> model = context.getDefinedModels().get(NAMES.nameForType(wanted));
      requireWhatIsNotNullable(model == null ? schema : model, wanted.getRawClass());
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

  /** Names of schemas: {@code LineController.View} is Line, its {@code Request} LineRequest. */
  private static final class Names extends TypeNameResolver {

    @Override
    protected String nameForClass(Class<?> type, Set<Options> options) {
      Class<?> outer = type.getDeclaringClass();
      if (outer == null || !type.getName().startsWith("org.tarebook.")) {
        return super.nameForClass(type, options);
      }
      String around = nameForClass(outer, options).replaceAll("Controller$", "");
      return type.getSimpleName().equals("View") ? around : around + type.getSimpleName();
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
