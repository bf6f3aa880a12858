package org.tarebook.http;

import com.fasterxml.jackson.annotation.Nulls;
import jakarta.validation.constraints.Size;
import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import org.springframework.context.annotation.Bean;
import org.springframework.context.annotation.Configuration;
import org.springframework.http.ProblemDetail;
import org.springframework.http.converter.json.ProblemDetailJacksonMixin;
import org.tarebook.quantity.Decimals;
import tools.jackson.core.JsonParser;
import tools.jackson.core.JsonToken;
import tools.jackson.core.StreamReadConstraints;
import tools.jackson.core.StreamReadFeature;
import tools.jackson.core.StreamWriteFeature;
import tools.jackson.core.json.JsonFactory;
import tools.jackson.databind.BeanProperty;
import tools.jackson.databind.DeserializationContext;
import tools.jackson.databind.DeserializationFeature;
import tools.jackson.databind.MapperFeature;
import tools.jackson.databind.ValueDeserializer;
import tools.jackson.databind.cfg.DateTimeFeature;
import tools.jackson.databind.cfg.EnumFeature;
import tools.jackson.databind.deser.std.StdDeserializer;
import tools.jackson.databind.exc.MismatchedInputException;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.module.SimpleModule;

/**
 * JSON as it is read and written everywhere: strictly. A member twice, an unknown member, more
 * digits than an instrument shows, a time without its offset or a null in a list is refused with
 * the place; decimals are never read through binary floats, and may be sent as text.
 */
@Configuration(proxyBeanMethods = false)
public class JsonConfiguration {

  /** The one mapper of the service. */
  @Bean
  public JsonMapper jsonMapper() {
    JsonFactory factory =
        JsonFactory.builder()
            .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
            .enable(StreamReadFeature.INCLUDE_SOURCE_IN_LOCATION)
            .enable(StreamWriteFeature.WRITE_BIGDECIMAL_AS_PLAIN)
            .streamReadConstraints(
                StreamReadConstraints.builder()
                    .maxNestingDepth(20)
                    .maxNumberLength(200)
                    .maxStringLength(100_000)
                    .maxNameLength(200)
                    .build())
            .build();
    return JsonMapper.builder(factory)
        .enable(DeserializationFeature.FAIL_ON_UNKNOWN_PROPERTIES)
        .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
        .enable(DeserializationFeature.FAIL_ON_NULL_FOR_PRIMITIVES)
        .enable(DeserializationFeature.USE_BIG_DECIMAL_FOR_FLOATS)
        .disable(DeserializationFeature.ACCEPT_FLOAT_AS_INT)
        .disable(MapperFeature.ALLOW_COERCION_OF_SCALARS)
        .enable(EnumFeature.FAIL_ON_NUMBERS_FOR_ENUMS)
        .disable(DateTimeFeature.WRITE_DATES_AS_TIMESTAMPS)
        .disable(DateTimeFeature.WRITE_DURATIONS_AS_TIMESTAMPS)
        .disable(MapperFeature.SORT_PROPERTIES_ALPHABETICALLY)
        .changeDefaultNullHandling(nulls -> nulls.withContentNulls(Nulls.FAIL))
        .changeDefaultPropertyInclusion(
            inclusion ->
                inclusion.withValueInclusion(
                    com.fasterxml.jackson.annotation.JsonInclude.Include.NON_NULL))
        .addMixIn(ProblemDetail.class, ProblemDetailJacksonMixin.class)
        .addModule(
            new SimpleModule("tarebook")
                .addDeserializer(BigDecimal.class, new DecimalReader())
                .addDeserializer(Double.class, new FractionReader())
                .addDeserializer(
                    Instant.class, new Written<>(Instant.class, Times.WANTED, Times::parse))
                .addDeserializer(
                    LocalDate.class, new Written<>(LocalDate.class, Times.DATE_WANTED, Times::date))
                .addDeserializer(
                    LocalTime.class,
                    new Written<>(LocalTime.class, Times.TIME_OF_DAY_WANTED, Times::timeOfDay))
                .addDeserializer(
                    Duration.class,
                    new Written<>(Duration.class, Times.DURATION_WANTED, Times::duration))
                .addDeserializer(String.class, new TextReader(false)))
        .build();
  }

  private static final class DecimalReader extends StdDeserializer<BigDecimal> {
    DecimalReader() {
      super(BigDecimal.class);
    }

    @Override
    public BigDecimal deserialize(JsonParser parser, DeserializationContext context) {
      if (!parser.currentToken().isNumeric() && parser.currentToken() != JsonToken.VALUE_STRING) {
        throw MismatchedInputException.from(
            parser, BigDecimal.class, "must be a number, with a decimal point");
      }
      try {
        return Decimals.parse(parser.getString());
      } catch (IllegalArgumentException refused) {
        throw MismatchedInputException.from(parser, BigDecimal.class, refused.getMessage());
      }
    }
  }

  /** Reads what is written as text in quotes. */
  private static final class Written<T> extends StdDeserializer<T> {
    private final String wanted;
    private final transient Function<String, T> read;

    Written(Class<T> type, String wanted, Function<String, T> read) {
      super(type);
      this.wanted = wanted;
      this.read = read;
    }

    @Override
    public T deserialize(JsonParser parser, DeserializationContext context) {
      if (parser.currentToken() != JsonToken.VALUE_STRING) {
        throw MismatchedInputException.from(parser, handledType(), wanted);
      }
      try {
        return read.apply(parser.getString());
      } catch (IllegalArgumentException refused) {
        throw MismatchedInputException.from(parser, handledType(), refused.getMessage());
      }
    }
  }

  /**
   * Text as it is taken everywhere: what a record can keep, in characters that can be seen. Only a
   * member that may be long can have line breaks.
   */
  private static final class TextReader extends StdDeserializer<String> {

    /** A text that may have so many characters may have several lines. */
    private static final int LONG = 200;

    private final boolean severalLines;

    TextReader(boolean severalLines) {
      super(String.class);
      this.severalLines = severalLines;
    }

    @Override
    public ValueDeserializer<?> createContextual(
        DeserializationContext context, @Nullable BeanProperty property) {
      Size size =
          property != null && property.getType().hasRawClass(String.class)
              ? property.getAnnotation(Size.class)
              : null;
      return new TextReader(size != null && size.max() >= LONG);
    }

    @Override
    public String deserialize(JsonParser parser, DeserializationContext context) {
      if (parser.currentToken() != JsonToken.VALUE_STRING) {
        throw MismatchedInputException.from(parser, String.class, "must be text in quotes");
      }
      String text = parser.getString();
      String refusal = Values.unkeepable(text);
      if (refusal == null) {
        refusal = Values.unreadable(text, severalLines);
      }
      if (refusal != null) {
        throw MismatchedInputException.from(parser, String.class, refusal);
      }
      return text;
    }
  }

  private static final class FractionReader extends StdDeserializer<Double> {
    FractionReader() {
      super(Double.class);
    }

    @Override
    public Double deserialize(JsonParser parser, DeserializationContext context) {
      if (!parser.currentToken().isNumeric()) {
        throw MismatchedInputException.from(
            parser, Double.class, "must be a number without quotes, with a decimal point");
      }
      try {
        return Values.fraction(parser.getString());
      } catch (IllegalArgumentException refused) {
        throw MismatchedInputException.from(parser, Double.class, refused.getMessage());
      }
    }
  }
}
