package org.tarebook.http;

import org.jspecify.annotations.Nullable;
import org.springframework.core.convert.ConversionException;
import org.springframework.core.convert.ConversionFailedException;
import org.springframework.core.convert.ConversionService;
import org.springframework.core.convert.TypeDescriptor;

/**
 * Reads parameters by the service's own converters alone. When a converter refuses a text, the data
 * binder would otherwise ask its property editors, which read {@code 0x10} as a number, {@code yes}
 * as true and an empty text as nothing.
 */
final class StrictConversion implements ConversionService {

  private final ConversionService converters;

  StrictConversion(ConversionService converters) {
    this.converters = converters;
  }

  /** The binder asks its property editors after a {@link ConversionFailedException} only. */
  private static final class Refused extends ConversionException {

    private static final long serialVersionUID = 1L;

    Refused(ConversionFailedException cause) {
      super(String.valueOf(cause.getMessage()), cause);
    }
  }

  @Override
  public boolean canConvert(@Nullable Class<?> source, Class<?> target) {
    return converters.canConvert(source, target);
  }

  @Override
  public boolean canConvert(@Nullable TypeDescriptor source, TypeDescriptor target) {
    return converters.canConvert(source, target);
  }

  @Override
  public <T> @Nullable T convert(@Nullable Object source, Class<T> target) {
    return target.cast(
        convert(source, TypeDescriptor.forObject(source), TypeDescriptor.valueOf(target)));
  }

  @Override
  public @Nullable Object convert(
      @Nullable Object source, @Nullable TypeDescriptor sourceType, TypeDescriptor target) {
    try {
      return converters.convert(source, sourceType, target);
    } catch (ConversionFailedException refusal) {
      throw new Refused(refusal);
    }
  }
}
