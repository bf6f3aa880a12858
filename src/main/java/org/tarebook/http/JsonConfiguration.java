package org.tarebook.http;

import jakarta.validation.constraints.Size;
import java.math.BigDecimal;
import java.time.Instant;
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
 * JSON as it is read and written everywhere: strictly. A member twice, an unknown member, a number
 * in quotes, more digits than an instrument shows or a time without its offset is refused with the
 * place; decimals are never read through binary floats.
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
        .changeDefaultPropertyInclusion(
            inclusion ->
                inclusion.withValueInclusion(
                    com.fasterxml.jackson.annotation.JsonInclude.Include.NON_NULL))
        .addMixIn(ProblemDetail.class, ProblemDetailJacksonMixin.class)
        .addModule(
            new SimpleModule("tarebook")
                .addDeserializer(BigDecimal.class, new DecimalReader())
                .addDeserializer(Instant.class, new InstantReader())
                .addDeserializer(String.class, new TextReader(false)))
        .build();
  }

  private static final class DecimalReader extends StdDeserializer<BigDecimal> {
    DecimalReader() {
      super(BigDecimal.class);
    }

    @Override
    public BigDecimal deserialize(JsonParser parser, DeserializationContext context) {
      if (!parser.currentToken().isNumeric()) {
        throw MismatchedInputException.from(
            parser, BigDecimal.class, "must be a number without quotes, with a decimal point");
      }
      try {
        return Decimals.parse(parser.getString());
      } catch (IllegalArgumentException refused) {
        throw MismatchedInputException.from(parser, BigDecimal.class, refused.getMessage());
      }
    }
  }

  private static final class InstantReader extends StdDeserializer<Instant> {
    InstantReader() {
      super(Instant.class);
    }

    @Override
    public Instant deserialize(JsonParser parser, DeserializationContext context) {
      if (parser.currentToken() != JsonToken.VALUE_STRING) {
        throw MismatchedInputException.from(parser, Instant.class, Times.WANTED);
      }
      try {
        return Times.parse(parser.getString());
      } catch (IllegalArgumentException refused) {
        throw MismatchedInputException.from(parser, Instant.class, refused.getMessage());
      }
    }
  }

  /**
   * Text as it is taken everywhere: without characters that cannot be seen or that change how the
   * text around them reads. Only a member that may be long can have line breaks.
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
      if (text.indexOf('\0') >= 0) {
        throw MismatchedInputException.from(
            parser, String.class, "holds a NUL character, which no record can keep");
      }
      if (holdsHalfACharacter(text)) {
        throw MismatchedInputException.from(
            parser, String.class, "holds half a character, which no record can keep");
      }
      text.codePoints()
          .filter(this::isRefused)
          .findFirst()
          .ifPresent(
              point -> {
                throw MismatchedInputException.from(parser, String.class, refusal(point));
              });
      return text;
    }

    private boolean isRefused(int point) {
      return switch (Character.getType(point)) {
        case Character.CONTROL ->
            !(severalLines && (point == '\n' || point == '\r' || point == '\t'));
        case Character.LINE_SEPARATOR, Character.PARAGRAPH_SEPARATOR -> true;
        case Character.FORMAT -> !joinsLetters(point);
        default -> false;
      };
    }

    /** Some scripts cannot be written without these two. */
    private static boolean joinsLetters(int point) {
      return point == 0x200C || point == 0x200D;
    }

    private static String refusal(int point) {
      return point == '\n' || point == '\r'
          ? "holds a line break; write it in one line"
          : "holds the character U+%04X, which cannot be seen or changes how the text reads; leave"
                  .formatted(point)
              + " it out";
    }

    private static boolean holdsHalfACharacter(String text) {
      for (int i = 0; i < text.length(); i++) {
        if (Character.isSurrogate(text.charAt(i))) {
          if (i + 1 == text.length()
              || !Character.isSurrogatePair(text.charAt(i), text.charAt(i + 1))) {
            return true;
          }
          i++;
        }
      }
      return false;
    }
  }
}
