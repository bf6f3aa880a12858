package org.tarebook.http;

import com.fasterxml.jackson.annotation.JacksonAnnotationsInside;
import java.lang.annotation.Documented;
import java.lang.annotation.ElementType;
import java.lang.annotation.Retention;
import java.lang.annotation.RetentionPolicy;
import java.lang.annotation.Target;
import java.util.regex.Pattern;
import tools.jackson.core.JsonParser;
import tools.jackson.core.JsonToken;
import tools.jackson.databind.DeserializationContext;
import tools.jackson.databind.annotation.JsonDeserialize;
import tools.jackson.databind.annotation.JsonSerialize;
import tools.jackson.databind.deser.std.StdDeserializer;
import tools.jackson.databind.exc.MismatchedInputException;
import tools.jackson.databind.ser.std.ToStringSerializer;

/** A member that is an id: a number inside, text on the wire, as ids are everywhere. */
@Target({
  ElementType.RECORD_COMPONENT,
  ElementType.FIELD,
  ElementType.METHOD,
  ElementType.PARAMETER
})
@Retention(RetentionPolicy.RUNTIME)
@Documented
@JacksonAnnotationsInside
@JsonSerialize(using = ToStringSerializer.class)
@JsonDeserialize(using = WireId.Reader.class)
public @interface WireId {

  /** What an id is like, for the API document and for whoever reads one. */
  String PATTERN = "^[0-9]{1,18}$";

  /** Reads an id. */
  final class Reader extends StdDeserializer<Long> {

    private static final Pattern DIGITS = Pattern.compile(PATTERN);

    Reader() {
      super(Long.class);
    }

    @Override
    public Long deserialize(JsonParser parser, DeserializationContext context) {
      if (parser.currentToken() != JsonToken.VALUE_STRING
          || !DIGITS.matcher(parser.getString()).matches()) {
        throw MismatchedInputException.from(
            parser, Long.class, "must be an id, in quotes, as an answer gave it");
      }
      return Long.valueOf(parser.getString());
    }
  }
}
