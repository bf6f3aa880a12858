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
import java.util.Map;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * Shows records in the API document as they are on the wire: a member is required unless it is
 * {@link Nullable}, a decimal says so, and an enum is a schema of its own.
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

  /**
   * Names of schemas: as chosen by {@code @Schema(name)}, so that no client sees the name of a
   * class. A page is a list of what it holds; types that know nothing of HTTP are named here.
   */
  private static final class Names extends TypeNameResolver {

    private static final Map<String, String> OTHERS =
        Map.ofEntries(
            Map.entry(Page.class.getName(), "List"),
            Map.entry("org.tarebook.quantity.AccuracyClass", "AccuracyClass"),
            Map.entry("org.tarebook.quantity.Side", "LimitSide"),
            Map.entry("org.tarebook.stats.Estimator", "Estimator"),
            Map.entry("org.tarebook.stats.Interval", "Interval"),
            Map.entry("org.tarebook.stats.Side", "Side"),
            Map.entry("org.tarebook.stats.capability.TargetIndices$Divisor", "CpmDivisor"),
            Map.entry("org.tarebook.stats.fit.Family", "Family"),
            Map.entry("org.tarebook.stats.fit.ProbabilityPlot$Point", "ProbabilityPlotPoint"),
            Map.entry("org.tarebook.thermal.Rule", "HeatRule"),
            Map.entry("org.tarebook.thermal.SensorClass", "SensorClass"));

    private final Map<String, Class<?>> given = new ConcurrentHashMap<>();

    @Override
    protected String nameForClass(Class<?> type, Set<Options> options) {
      if (!type.getName().startsWith("org.tarebook.")) {
        return super.nameForClass(type, options);
      }
      io.swagger.v3.oas.annotations.media.Schema chosen =
          type.getAnnotation(io.swagger.v3.oas.annotations.media.Schema.class);
      String name =
          chosen == null || chosen.name().isEmpty() ? OTHERS.get(type.getName()) : chosen.name();
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
