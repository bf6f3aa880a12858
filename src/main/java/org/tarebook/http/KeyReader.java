package org.tarebook.http;

import jakarta.servlet.http.HttpServletRequest;
import org.jspecify.annotations.Nullable;
import org.springframework.http.MediaType;
import org.springframework.web.context.request.RequestContextHolder;
import org.springframework.web.context.request.ServletRequestAttributes;
import tools.jackson.core.JsonParser;
import tools.jackson.core.JsonToken;
import tools.jackson.databind.DeserializationContext;
import tools.jackson.databind.deser.std.StdDeserializer;
import tools.jackson.databind.exc.MismatchedInputException;

/**
 * Reads the key of a fact from the body or, where the body has none, from the header {@value
 * #HEADER} of a request that is one fact. Where both are there they must be the same.
 */
final class KeyReader extends StdDeserializer<String> {

  /** The header that may bear the key, in quotes or without. */
  static final String HEADER = "Idempotency-Key";

  KeyReader() {
    super(String.class);
  }

  @Override
  public String deserialize(JsonParser parser, DeserializationContext context) {
    if (parser.currentToken() != JsonToken.VALUE_STRING) {
      throw MismatchedInputException.from(parser, String.class, "must be text in quotes");
    }
    String key = parser.getString();
    String sent = sent();
    if (sent != null && !sent.equals(key)) {
      throw MismatchedInputException.from(
          parser,
          String.class,
          "is not the key that the header " + HEADER + " has; send one of them");
    }
    return key;
  }

  @Override
  public @Nullable Object getAbsentValue(DeserializationContext context) {
    return sent();
  }

  private static @Nullable String sent() {
    HttpServletRequest request =
        RequestContextHolder.getRequestAttributes() instanceof ServletRequestAttributes attributes
            ? attributes.getRequest()
            : null;
    if (request == null || !isOneFact(request)) {
      return null;
    }
    String sent = request.getHeader(HEADER);
    return sent != null && sent.matches("\".+\"") ? sent.substring(1, sent.length() - 1) : sent;
  }

  /** Lines of a stream each have a key of their own. */
  private static boolean isOneFact(HttpServletRequest request) {
    String form = request.getContentType();
    return form != null
        && MediaType.APPLICATION_JSON.isCompatibleWith(MediaType.parseMediaType(form));
  }
}
