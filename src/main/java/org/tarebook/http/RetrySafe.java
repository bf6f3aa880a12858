package org.tarebook.http;

import java.lang.annotation.ElementType;
import java.lang.annotation.Retention;
import java.lang.annotation.RetentionPolicy;
import java.lang.annotation.Target;
import org.springframework.http.ResponseEntity;
import org.springframework.web.util.UriComponentsBuilder;

/**
 * Marks a call that adds a fact and may be repeated: the first is answered 201 with the address of
 * the fact, a repeat 200 with the same fact and {@code Idempotent-Replayed: true}.
 */
@Target(ElementType.METHOD)
@Retention(RetentionPolicy.RUNTIME)
public @interface RetrySafe {

  /** The header that marks the answer to a repeat. */
  String REPLAYED = "Idempotent-Replayed";

  /** The answers of such calls. */
  final class Answer {

    private Answer() {}

    /**
     * The answer to a fact that was posted.
     *
     * @param replayed whether it was on record before
     * @param address the parts of its address behind {@code /api/v1/}, encoded as need be
     */
    public static <T> ResponseEntity<T> of(boolean replayed, T fact, String... address) {
      return replayed
          ? ResponseEntity.ok().header(REPLAYED, "true").body(fact)
          : ResponseEntity.created(
                  UriComponentsBuilder.fromPath("/api/v1")
                      .pathSegment(address)
                      .build()
                      .encode()
                      .toUri())
              .body(fact);
    }
  }
}
